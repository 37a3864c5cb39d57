import type { Finding } from './finding.ts';

/** Milliseconds on the clock that the wiring passes in; the pure half never reads one itself. */
export type Ms = number & { readonly __brand: 'Ms' };
export const ms = (n: number): Ms => n as Ms;

/** A finding's place in the record, given once and never reused. */
export type EntryId = number & { readonly __brand: 'EntryId' };

/** How an entry was closed: by a word of the examiner, or by going on to the next finding. */
export type Closing = 'explicit' | 'implicit';

/** What was heard, kept beside the finding it became. */
export interface Hearing {
  readonly words: string;
  /** Probability that the words were heard right, 0 to 1; absent for typed text. */
  readonly confidence?: number;
}

/**
 * The record is these events in the order they happened; nothing is ever taken out. What the exam
 * says now is their fold (record.ts), and an undo is one more event.
 */
export type ExamEvent =
  | { readonly type: 'started'; readonly at: Ms; readonly plan: string }
  | {
      readonly type: 'recorded';
      readonly at: Ms;
      readonly entry: EntryId;
      readonly finding: Finding;
      readonly hearing: Hearing;
    }
  | {
      readonly type: 'corrected';
      readonly at: Ms;
      /** The new entry, and the one whose place it takes. */
      readonly entry: EntryId;
      readonly supersedes: EntryId;
      readonly finding: Finding;
      readonly hearing: Hearing;
    }
  | {
      readonly type: 'confirmed';
      readonly at: Ms;
      readonly entries: readonly EntryId[];
      readonly by: Closing;
    }
  | { readonly type: 'withdrawn'; readonly at: Ms; readonly entries: readonly EntryId[] }
  /** Takes back the event with this index in the record, counted from 0. */
  | { readonly type: 'undone'; readonly at: Ms; readonly event: number }
  | { readonly type: 'completed'; readonly at: Ms };

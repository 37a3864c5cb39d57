import {
  type EntryId,
  type ExamEvent,
  type ExamRecord,
  emptyRecord,
  type Finding,
  type Hearing,
  type Ms,
} from '../exam/index.ts';
import type {
  Command,
  Context,
  Expectation,
  Interpretation,
  Question,
} from '../interpret/index.ts';

/** How much must be confirmed in words: all, what costs if wrong, or only the end's read-back. */
export type Strictness = 'every' | 'costly' | 'end';

/** Findings that were heard with too little certainty to be recorded before a "yes". */
export interface Doubted {
  readonly findings: readonly Finding[];
  readonly corrects: boolean;
  readonly hearing: Hearing;
}

/** What the examiner was asked and has not answered. */
export type Asked =
  | { readonly is: 'slot'; readonly question: Question; readonly hearing: Hearing }
  | { readonly is: 'whether'; readonly doubted: Doubted };

export interface Dialogue {
  readonly record: ExamRecord;
  readonly strictness: Strictness;
  /** The word that must call for attention before anything is taken, by its tag in the grammar. */
  readonly attention: string | undefined;
  readonly mode: 'listening' | 'paused' | 'closing';
  /** Questions being asked, the first of them now. */
  readonly asked: readonly Asked[];
  /** Questions the examiner went past; they are not asked twice, but come again at the end. */
  readonly deferred: readonly Asked[];
  /** Entries of the latest read-back, which a "yes" closes and a "no" withdraws. */
  readonly readBack: readonly EntryId[];
  readonly expected: Expectation | undefined;
  /** What was not examined has been named at the end: once is enough. */
  readonly leftNamed: boolean;
  /** The latest thing said, for "say again". */
  readonly lastSaid: string;
}

export const start: Dialogue = {
  record: emptyRecord,
  strictness: 'costly',
  attention: undefined,
  mode: 'listening',
  asked: [],
  deferred: [],
  readBack: [],
  expected: undefined,
  leftNamed: false,
  lastSaid: '',
};

export type DialogueEvent =
  | { readonly type: 'began'; readonly at: Ms; readonly plan: string }
  /** An utterance and what it means; `unsure` when it needs a "yes" before it may count. */
  | {
      readonly type: 'heard';
      readonly at: Ms;
      readonly hearing: Hearing;
      readonly meaning: Interpretation;
      readonly certainty: 'sure' | 'unsure';
    }
  | { readonly type: 'prompted'; readonly item: Expectation | undefined }
  | { readonly type: 'strictness'; readonly strictness: Strictness }
  | { readonly type: 'attention'; readonly word: string | undefined }
  /** A stored exam is taken up again. */
  | { readonly type: 'resumed'; readonly record: ExamRecord };

/** What is asked of the records rather than of the exam. */
export type RecordsAct = Extract<
  Command,
  'compare' | 'show-records' | 'copy-note' | 'lock-records'
>;

/** What a text is for, so that an examiner's wishes on being spoken to can be kept. */
export type SaidAs = 'read-back' | 'question' | 'answer';

export type Effect =
  /** To be spoken and shown. A question waits without limit for its answer. */
  | {
      readonly type: 'say';
      readonly text: string;
      readonly as: SaidAs;
    }
  /** To be kept before anything is said. */
  | { readonly type: 'keep'; readonly event: ExamEvent }
  /** Stop speaking at once. */
  | { readonly type: 'hush' }
  /** Show what can be said. */
  | { readonly type: 'help' }
  /** Something outside of this exam: earlier exams, papers, the lock. */
  | { readonly type: 'records'; readonly act: RecordsAct }
  /** The exam was called complete: compute and show where the lesion is. */
  | { readonly type: 'summarize' };

export interface Step {
  readonly state: Dialogue;
  readonly effects: readonly Effect[];
}

/** What the interpreter needs to know of the dialogue. */
export function contextOf(state: Dialogue): Context {
  const [asked] = state.asked;
  const latest = state.record.entries.filter((entry) => state.readBack.includes(entry.id));
  // What was heard with doubt was said back last, though it is not recorded.
  const doubted = asked?.is === 'whether' ? asked.doubted.findings : undefined;
  return {
    asked: asked?.is === 'slot' ? asked.question : undefined,
    expected: state.expected,
    last: doubted ?? latest.map((entry) => entry.finding),
    standingBy: state.mode === 'paused',
    doubted: doubted !== undefined,
    attention: state.attention,
  };
}

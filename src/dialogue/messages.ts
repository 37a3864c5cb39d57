import type { ExamMessages, LanguageId } from '../exam/index.ts';
import { dialogueEnglish } from './english.ts';

/** What a question about one slot can offer as an answer where no list of the vocabulary is read out. */
export type Choices =
  | 'flexor-or-mute'
  | 'spastic-or-rigid'
  | 'beats'
  | 'strength'
  | 'reflex'
  | 'anything';

/** What the dialogue says, in one language. A text that a voice says goes through `names.spoken`. */
export interface DialogueMessages {
  readonly names: ExamMessages;
  readonly text: Readonly<Record<DialogueText, string>>;
  /** Findings in one breath, each a line of `names.finding` or `bothSides`. */
  readonly readBack: (findings: readonly string[]) => string;
  /** A finding that is the same on both sides; its line is without a side. */
  readonly bothSides: (finding: string) => string;
  readonly corrected: (readBack: string) => string;
  /** After a read-back: what it took the place of, by the record's own terms ("3+", "absent"). */
  readonly was: (values: readonly string[]) => string;
  readonly takenBack: (findings: readonly string[]) => string;
  readonly again: (findings: readonly string[]) => string;
  readonly unconfirmed: (readBack: string) => string;
  readonly didYouSay: (readBack: string) => string;
  /** For the end: what the plan asks for, and how many more than are named. */
  readonly notExamined: (items: readonly string[], more: number) => string;
  readonly left: (items: readonly string[]) => string;
  /** What a question is about: "right biceps reflex 3+". */
  readonly subject: (parts: {
    readonly side: string | undefined;
    readonly items: readonly string[];
    /** By the record's own term. */
    readonly value: string | undefined;
  }) => string;
  readonly asksSide: (subject: string) => string;
  readonly asksModality: (subject: string) => string;
  readonly asksKind: (subject: string) => string;
  readonly asksWhich: (subject: string, values: readonly string[]) => string;
  readonly asksValue: (subject: string, choices: Choices, offScale: boolean) => string;
  /** A prompt for one item of a plan. */
  readonly prompt: (item: string, modality: string | undefined) => string;
}

export type DialogueText =
  | 'sayThatAgain'
  | 'notRecorded'
  | 'withdrawn'
  | 'disregarded'
  | 'nothingSaid'
  | 'standingBy'
  | 'listening'
  | 'help'
  | 'nothingToTakeBack'
  | 'nothingToUndo'
  | 'undone'
  | 'complete'
  | 'confirmedComplete'
  | 'nothingRecorded'
  | 'nothingLeft'
  | 'asksCorrection';

export const dialogueMessages: Readonly<Record<LanguageId, DialogueMessages>> = {
  en: dialogueEnglish,
};

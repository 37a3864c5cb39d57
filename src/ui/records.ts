import type { ReadonlySignal, Signal } from '@preact/signals';
import type { Entry, Finding } from '../exam/index.ts';
import type { ComparedItem, Difference } from '../report/index.ts';

/** Whether the records on this device can be read and written. */
export type Lock = 'looking' | 'none' | 'locked' | 'open' | 'unusable';

/** How the exam at hand stands to the disk. */
export type Keeping =
  /** No passphrase was chosen or the records are locked: it lives as long as this page. */
  | { readonly is: 'memory' }
  | { readonly is: 'kept' }
  /** Something is in memory only; `parted` when another window went another way with the exam. */
  | { readonly is: 'failing'; readonly line: string; readonly parted: boolean };

/** An exam in the list; texts as the examiner wrote them, possibly empty. */
export interface ListedExam {
  readonly exam: string;
  readonly label: string;
  readonly examiner: string;
  /** ISO 8601, or an empty text. */
  readonly startedAt: string;
  readonly plan: string;
  /** The exam that is open now. */
  readonly current: boolean;
}

/** An exam that cannot be read to its end. */
export interface DamagedExam {
  readonly exam: string;
  readonly line: string;
  readonly readable: number;
}

/** Exams of one label beside each other, oldest first. */
export interface Comparison {
  readonly label: string;
  readonly columns: readonly { readonly exam: string; readonly startedAt: string }[];
  readonly items: readonly ComparedItem[];
  /** What changed since the last exam, worst first; each a line. */
  readonly changes: readonly string[];
  /** Drawings over time, as SVG that report/ made. */
  readonly plots: readonly { readonly name: string; readonly markup: string }[];
}

export interface ReviewedSignature {
  readonly name: string;
  readonly at: string;
  /** Groups of the key's hash, to be compared by reading them out. */
  readonly fingerprint: string;
  /** What is wrong with it; an empty text where it holds. */
  readonly fault: string;
}

/** A review pack that was opened. */
export interface OpenReview {
  readonly label: string;
  readonly examiner: string;
  readonly startedAt: string;
  readonly items: readonly Difference[];
  /** Entries whose sound is in the pack. */
  readonly sounds: ReadonlySet<Entry['id']>;
  readonly words: ReadonlyMap<Entry['id'], { readonly said: string; readonly readBack: string }>;
  /** Where persons think the lesion is. */
  readonly opinions: readonly { readonly by: string; readonly site: string }[];
  /** Where the program computes it to be, most probable first. */
  readonly computed: readonly { readonly name: string; readonly probability: number }[];
  readonly signatures: readonly ReviewedSignature[];
  /** Everything that is wrong with the pack; it can be read, not signed. */
  readonly faults: readonly string[];
  /** How it stands to the exam as it is kept here; an empty text where that is not known. */
  readonly against: string;
  /** Something was said of it that is not in a file yet. */
  readonly changed: boolean;
}

export interface Reviewing {
  readonly open: ReadonlySignal<OpenReview | undefined>;
  /** Place of the finding looked at, counted from 0. */
  readonly at: ReadonlySignal<number>;
  readonly playing: ReadonlySignal<boolean>;
  readonly reviewer: Signal<string>;
  readonly own: Signal<string>;
  go(to: number): void;
  hear(): void;
  agree(): void;
  query(remark: string): void;
  /** With a value of the finding's own scale. */
  amend(value: string): void;
  amendTo(finding: Finding): void;
  /** Adds the signature and gives the pack back as a file. */
  sign(): void;
  close(): void;
}

/** The records on this device, and what can be done with them. Every fault comes as `fault`. */
export interface Records {
  readonly lock: ReadonlySignal<Lock>;
  readonly keeping: ReadonlySignal<Keeping>;
  readonly busy: ReadonlySignal<boolean>;
  /** One line about what did not work, or an empty text. */
  readonly fault: ReadonlySignal<string>;
  /** One line about what was done. */
  readonly done: ReadonlySignal<string>;
  readonly list: ReadonlySignal<readonly ListedExam[]>;
  readonly damaged: ReadonlySignal<DamagedExam | undefined>;
  /** To be shown before a passphrase is chosen. */
  readonly forgotten: string;
  /** Of the exam at hand. */
  readonly label: Signal<string>;
  readonly examiner: Signal<string>;
  readonly opinion: Signal<string>;
  /** The patient agreed that the sound of what is said is kept. */
  readonly consent: Signal<boolean>;
  readonly sounds: ReadonlySignal<number>;
  /** Days after which exams are deleted; 0 for never. */
  readonly retention: ReadonlySignal<number>;
  /** Exams past that time that are still here. */
  readonly due: ReadonlySignal<number>;
  readonly comparison: ReadonlySignal<Comparison | undefined>;
  readonly review: Reviewing;
  create(passphrase: string, repeated: string): void;
  unlock(passphrase: string): void;
  shut(): void;
  change(passphrase: string, next: string, repeated: string): void;
  /** Deletes everything, the passphrase too. */
  clear(): void;
  tryAgain(): void;
  saveCopy(): void;
  giveWay(): void;
  open(exam: string): void;
  salvage(): void;
  remove(exam: string): void;
  setRetention(days: number): void;
  removeDue(): void;
  bring(file: File): void;
  compare(): void;
  packOut(passphrase: string): void;
  packIn(file: File, passphrase: string): void;
  send(server: string, token: string): void;
  stopSending(): void;
  print(): void;
}

import type { Lockbox } from './lockbox.ts';

/** Bytes in memory of their own, as WebCrypto and IndexedDB take them. */
export type Bytes = Uint8Array<ArrayBuffer>;

/** One event of an exam as it lies on the shelf: sealed, with its place. */
export interface Row {
  readonly exam: string;
  /** Place in the exam, counted from 0 without a gap. */
  readonly index: number;
  /** Version of what is inside. */
  readonly version: number;
  readonly sealed: Bytes;
}

/** An exam on the shelf, and the sealed cover where it has one. */
export interface ShelvedExam {
  readonly exam: string;
  readonly cover: Bytes | undefined;
}

/**
 * Where sealed bytes lie: a browser's database, a folder, memory. Knows places, no keys and no
 * findings. Every promise settles; what fails rejects with a `PortError`.
 */
export interface Shelf {
  /**
   * Puts one row in the next free place of its exam, whole or not at all, and on disk before it
   * resolves.
   * @throws PortError `in-use` when that place is not the next free one, `full` when there is no room
   */
  add(row: Row): Promise<void>;
  /** The rows of an exam in order; none for an exam that is not there. */
  rows(exam: string): Promise<readonly Row[]>;
  /** How many rows an exam has. */
  length(exam: string): Promise<number>;
  setCover(exam: string, cover: Bytes): Promise<void>;
  /** Every exam that has a row or a cover, by id. */
  exams(): Promise<readonly ShelvedExam[]>;
  /** Puts something beside an exam under a name, in place of what was there: the sound of an utterance. */
  setAttachment(exam: string, name: string, sealed: Bytes): Promise<void>;
  attachment(exam: string, name: string): Promise<Bytes | undefined>;
  /** Names of what lies beside an exam, sorted. */
  attachmentNames(exam: string): Promise<readonly string[]>;
  /** Removes an exam with its cover and all that lies beside it. */
  remove(exam: string): Promise<void>;
  setSetting(name: string, sealed: Bytes): Promise<void>;
  setting(name: string): Promise<Bytes | undefined>;
  lockbox(): Promise<Lockbox | undefined>;
  /**
   * Puts a lockbox in the place of the one that was read before (undefined: of none).
   * @throws PortError `in-use` when another one lies there by now
   */
  setLockbox(lockbox: Lockbox, previous: Lockbox | undefined): Promise<void>;
  /** Throws away everything, the lockbox too. */
  clear(): Promise<void>;
  close(): Promise<void>;
}

export const sameBytes = (a: Bytes, b: Bytes): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);

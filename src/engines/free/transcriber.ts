import type { Sound } from '../../ports.ts';

/** A word as an engine of free words wrote it down, in the grammar's spelling. */
export interface WrittenWord {
  readonly word: string;
  /** Probability that it is the word that was said, as the engine has it; 0 to 1. */
  readonly probability: number;
  /** From the start of the utterance. */
  readonly startMs: number;
  readonly endMs: number;
}

/** One way to write an utterance down. */
export type Transcript = readonly WrittenWord[];

/**
 * An engine that writes down whatever it hears, without a grammar. Every promise settles: a request
 * that is overdue ends the engine's worker and rejects with `timed-out`.
 */
export interface Transcriber {
  readonly id: string;
  /** Words that may come, for engines that can make use of a list. */
  expect(words: readonly string[]): Promise<void>;
  /** @throws PortError when the engine cannot be started */
  start(): Promise<void>;
  /** Takes sound; resolves to the words so far, where the engine tells. */
  feed(sound: Sound): Promise<readonly string[]>;
  /** The ways to write the utterance down, the best first; none when nothing was said. */
  finish(): Promise<readonly Transcript[]>;
  abort(): Promise<void>;
  close(): Promise<void>;
}

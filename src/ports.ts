import type { ExamEvent, Ms } from './exam/index.ts';
import type { WordNetwork } from './grammar/network.ts';

/**
 * The only seam between the pure half and the world. Every promise here settles: adapters put a
 * time limit on each request and reject with a `PortError`.
 */

/** Samples of mono sound at 16 kHz, -1 to 1. The one form of sound inside the program. */
export type Sound = Float32Array;
export const soundRate = 16_000;

/** Pieces of sound one after the other. */
export function joined(pieces: readonly Sound[]): Float32Array<ArrayBuffer> {
  const whole = new Float32Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

export type PortErrorCode =
  | 'denied'
  | 'no-device'
  | 'unplugged'
  | 'in-use'
  | 'not-found'
  | 'corrupt'
  | 'unsupported'
  | 'unknown-word'
  | 'timed-out'
  | 'aborted'
  | 'closed'
  | 'full';

/** What went wrong outside, in one line that says what to do next. */
export class PortError extends Error {
  readonly code: PortErrorCode;
  constructor(code: PortErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'PortError';
    this.code = code;
  }
}

/** A word and where in the utterance's sound it was heard. */
export interface HeardWord {
  readonly word: string;
  /** From the start of the utterance. */
  readonly startMs: number;
  readonly endMs: number;
}

/** The best path through a network for one utterance. */
export interface Path {
  readonly words: readonly HeardWord[];
  /** Natural-log likelihood of the whole path; comparable between paths over the same sound only. */
  readonly score: number;
}

export interface Recognition {
  /** Absent when nothing in the network fits the sound at all. */
  readonly best: Path | undefined;
  /**
   * Natural-log likelihood of the same sound as any speech whatever, from a loop of phones. What is
   * not examination speech scores better here than in the grammar.
   */
  readonly anySpeech: number;
  /** Length of the sound that was decoded, in frames of 10 ms. */
  readonly frames: number;
}

/**
 * Hears words. One utterance at a time: `start`, `feed` as often as sound comes, `finish`, then as
 * many `reconsider` as wanted, until the next `start`.
 */
export interface Recogniser {
  readonly id: string;
  /**
   * Sets what may be said from the next utterance on.
   * @throws PortError `unknown-word` naming every word it cannot pronounce
   */
  listenFor(network: WordNetwork): Promise<void>;
  start(): Promise<void>;
  /** Takes sound; resolves to the words so far, to be shown while the examiner still speaks. */
  feed(sound: Sound): Promise<readonly string[]>;
  finish(): Promise<Recognition>;
  /**
   * Hears the last finished utterance again, once, under other networks side by side; gives the
   * best path through each. Their scores compare with each other, not with what `finish` gave.
   * @throws PortError `unknown-word` naming every word it cannot pronounce
   */
  reconsider(networks: readonly WordNetwork[]): Promise<readonly (Path | undefined)[]>;
  /** Drops the utterance in progress. */
  abort(): Promise<void>;
  /** Forgets what was learnt of voice and room, for another examiner or another recording. */
  forget(): Promise<void>;
  close(): Promise<void>;
}

/** Speaks. Never a voice that sends text off the device. */
export interface Voice {
  readonly id: string;
  /** Resolves when the last sound has left, or at once when stopped. */
  speak(text: string, signal?: AbortSignal): Promise<void>;
}

export interface Microphone {
  /** Sound as it comes, in any chunk size, until stopped or failed. */
  listen(on: {
    readonly sound: (sound: Sound) => void;
    /** A piece of sound never came, between what came before and what comes next. */
    readonly gap?: (ms: number) => void;
    /** `unplugged`, `in-use`: the exam goes on without it. */
    readonly lost: (why: PortError) => void;
  }): Promise<{ stop(): Promise<void> }>;
}

/** Keeps exams. What was appended is safe before the promise resolves. */
export interface Vault {
  append(exam: string, event: ExamEvent): Promise<void>;
  load(exam: string): Promise<readonly ExamEvent[]>;
  list(): Promise<readonly string[]>;
  remove(exam: string): Promise<void>;
}

export interface Clock {
  now(): Ms;
}

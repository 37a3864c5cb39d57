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

/** The piece of a path that fits its own sound least, in nats over any speech in that sound. */
export interface Weakest {
  readonly word: number;
  /** Between words, before and after them: below 0 where something was said there. */
  readonly pause: number;
}

/** The best path through a network for one utterance. */
export interface Path {
  readonly words: readonly HeardWord[];
  /** Natural-log likelihood of the whole path; comparable between paths over the same sound only. */
  readonly score: number;
  /** Left out by recognisers that cannot tell. */
  readonly weakest?: Weakest;
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
  /** Where it can learn how an examiner speaks; other engines leave it out. */
  readonly fitting?: Fitting;
}

/** What was learnt of how one examiner speaks. */
export interface Fit {
  /** The weights it belongs to; with others it means nothing. */
  readonly of: string;
  /** How many replies it was learnt from. */
  readonly replies: number;
  /** For each number that enters the network's head: it is multiplied by this, and this is added. */
  readonly scale: readonly number[];
  readonly shift: readonly number[];
}

/** How far learning has come. */
export type Learning =
  | { readonly is: 'learning' }
  | { readonly is: 'learnt'; readonly fit: Fit }
  /** Too little to learn from, or what was learnt was no better: all stays as it was. */
  | { readonly is: 'nothing' };

/**
 * Learns from replies of which the examiner let the read-back stand. It keeps what the network made of
 * them, in memory alone: never their sound.
 */
export interface Fitting {
  /**
   * Puts the last finished utterance aside until these words are known to be right.
   * @returns its number; nothing where it cannot be learnt from
   */
  hold(words: readonly string[]): Promise<number | undefined>;
  /** Whether the words of what was put aside were right. Gives how many right ones there are to learn from. */
  settle(held: number, right: boolean): Promise<number>;
  /**
   * Takes a sentence of the common test, which the next fit may not make worse.
   * @returns whether it was taken: not while an utterance is in progress
   */
  test(sound: Sound, words: readonly string[]): Promise<boolean>;
  /**
   * Learns for a moment, about 30 ms, and so until it is done; the common test is over then. While an
   * utterance is in progress it only waits. What was learnt is not used yet.
   */
  learn(): Promise<Learning>;
  /**
   * Hears with a fit from the next utterance on, or without.
   * @returns whether it is used: one for other weights is not
   */
  use(fit: Fit | undefined): Promise<boolean>;
  /** Lets go of all replies, and of the fit in use. */
  forget(): Promise<void>;
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

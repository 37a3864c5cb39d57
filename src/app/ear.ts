import { createEcho } from '../audio/echo.ts';
import { createEndpointer, createLevels, type EndpointerEvent } from '../audio/endpoint.ts';
import { createNearness } from '../audio/nearness.ts';
import {
  type Calibration,
  type Context,
  corrects,
  type Evidence,
  type Language,
  mayHaveLost,
  ruleFor,
} from '../interpret/index.ts';
import { type HeardWord, joined, type Recogniser, type Sound, soundRate } from '../ports.ts';
import type { HeardWords } from './session.ts';
import { understand } from './understanding.ts';

export interface EarParts {
  readonly recogniser: Recogniser;
  readonly language: Language;
  readonly calibration: Calibration;
  /** What the dialogue knows when an utterance begins; it decides the grammar. */
  readonly context: () => Context;
  /** Whether the sound of each utterance goes along with its words: with consent only. */
  readonly keepSound?: () => boolean;
  /** Somebody began, or ended, to speak. */
  readonly turn?: (now: 'speaking' | 'silent') => void;
  /** An utterance begins to be heard; what comes of it follows. */
  readonly began?: () => void;
  /** Words so far, while the examiner still speaks; they may still change. */
  readonly partial: (words: readonly string[]) => void;
  readonly utterance: (heard: HeardWords) => void;
  /** Somebody spoke while the ear was shut, or a piece of sound was lost: it must be said again. */
  readonly missed?: () => void;
  /** What was measured of the utterance that comes next, for calibration. */
  readonly measured?: (evidence: Evidence) => void;
  /** The recogniser failed; hearing goes on with the next utterance. */
  readonly failed: (why: unknown) => void;
}

/** Sound in, words out. */
export interface Ear {
  /** Lays out what may be said now, so that the first utterance need not wait for it. */
  prepare(): Promise<void>;
  push(sound: Sound): void;
  /** Ends the utterance in progress and resolves when everything pushed has been heard. */
  flush(): Promise<void>;
  /** Resolves when what was pushed so far has been heard; the utterance in progress goes on. */
  settled(): Promise<void>;
  /** While muted nothing is heard; what was half said is dropped. */
  mute(muted: boolean): void;
  /**
   * Shut, nothing is heard and the utterance in progress ends at once. One that was cut while it
   * still sounded may lack its "minus": it is asked about, never recorded.
   */
  gate(open: boolean): void;
  /** Sound was lost: what it was a part of is dropped, since a lost word may be a "not". */
  gap(ms: number): void;
  /** Time spent in the recogniser so far, in ms. */
  readonly decodeMs: number;
}

/**
 * Words so many dB fainter than others, or than usual, may be somebody else's: they are asked about. 11 was
 * read off 180 sentences of two rendered voices; of the demo exams in four it asked about 13, and at 14
 * about a prompted reply (audio/README.md).
 */
const farFainter = 17;

export function createEar(parts: EarParts): Ear {
  const { recogniser, language } = parts;
  const endpointer = createEndpointer();
  const levels = createLevels();
  const nearness = createNearness();
  const echo = createEcho();
  let queue: Promise<void> = Promise.resolve();
  let muted = false;
  let decodeMs = 0;
  let hearing = false;
  let rule = '';
  let startedAt = 0;
  let pieces: Sound[] = [];
  /** Words were heard of the utterance in progress. */
  let worded = false;
  const ms = (samples: number): number => Math.round((samples / soundRate) * 1000);

  /** Runs after everything before it; a failure is told and does not stop what comes after. */
  const then = (job: () => Promise<void>): void => {
    queue = queue.then(job).catch(async (why: unknown) => {
      hearing = false;
      parts.failed(why);
      await recogniser.abort().catch(() => {});
    });
  };

  async function lay(): Promise<void> {
    const wanted = ruleFor(parts.context());
    if (wanted === rule) return;
    await recogniser.listenFor(language.network(wanted));
    rule = wanted;
  }

  async function begin(at: number): Promise<void> {
    await lay();
    await recogniser.start();
    startedAt = at;
    pieces = [];
    worded = false;
    levels.begin();
    nearness.begin();
    echo.begin();
    hearing = true;
    parts.began?.();
  }

  const never = { overRoom: Number.NEGATIVE_INFINITY, fall: Number.NEGATIVE_INFINITY };
  const { overRoom, fall } = parts.calibration.hard ?? never;
  const noisy = (placed: readonly HeardWord[]): boolean => nearness.overRoom(placed) < overRoom;
  const hard = (placed: readonly HeardWord[]): boolean => noisy(placed) || echo.fall() < fall;

  /** Whether what seems sure corrects what stands without being surer, or noise may have drowned a part of it. */
  function risky(
    { words, confidence }: Pick<HeardWords, 'words' | 'confidence'>,
    placed: readonly HeardWord[],
  ): boolean {
    const { correct = 0 } = parts.calibration;
    if (confidence < correct && corrects(language, words, parts.context())) return true;
    return noisy(placed) && mayHaveLost(language, words, parts.context());
  }

  async function end(at: number, cut: boolean): Promise<void> {
    if (!hearing) return;
    hearing = false;
    const { evidence, placed, ...understood } = await understand(recogniser, parts, rule, hard);
    parts.measured?.(evidence);
    const another = nearness.faint(placed) > farFainter;
    if (understood.certainty !== 'foreign') nearness.learn(placed);
    const doubted =
      understood.certainty === 'sure' && (cut || another || risky(understood, placed));
    const heard = doubted ? { ...understood, certainty: 'unsure' as const } : understood;
    const kept = heard.words.length === 0 || pieces.length === 0 ? {} : { sound: joined(pieces) };
    parts.utterance({ ...heard, startMs: ms(startedAt), endMs: ms(at), ...kept });
  }

  const timed = (job: () => Promise<void>) => async (): Promise<void> => {
    const from = performance.now();
    try {
      await job();
    } finally {
      decodeMs += performance.now() - from;
    }
  };

  const take = (event: EndpointerEvent): void => {
    switch (event.type) {
      case 'start':
        parts.turn?.('speaking');
        then(timed(() => begin(event.at)));
        break;
      case 'sound':
        then(
          timed(async () => {
            if (!hearing) return;
            if (parts.keepSound?.() === true) pieces.push(event.sound);
            const heard = levels.of(event.sound);
            nearness.take(heard);
            echo.take(heard);
            const words = await recogniser.feed(event.sound);
            // What was thought to be heard for a moment may have been it.
            worded ||= words.length > 0;
            parts.partial(words);
          }),
        );
        break;
      case 'end':
        parts.turn?.('silent');
        then(timed(() => end(event.at, event.cut)));
        break;
      case 'missed':
        parts.missed?.();
        break;
      default:
        event satisfies never;
    }
  };

  /** Lets go of the utterance in progress; where it had words, that is told. */
  const drop = (): void =>
    then(async () => {
      if (!hearing) return;
      hearing = false;
      await recogniser.abort();
      parts.partial([]);
      if (worded) parts.missed?.();
    });

  return {
    get decodeMs() {
      return decodeMs;
    },
    prepare: lay,
    push(sound) {
      // Muted sound is still time: what is heard later keeps its place.
      if (muted) endpointer.skip(sound.length);
      else endpointer.push(sound).forEach(take);
    },
    async flush() {
      endpointer.flush().forEach(take);
      await queue;
    },
    settled: () => queue,
    mute(now) {
      if (now && !muted) {
        endpointer.skip(0);
        drop();
      }
      muted = now;
    },
    gate: (open) => endpointer.gate(open).forEach(take),
    gap(lost) {
      endpointer.skip(Math.round((lost / 1000) * soundRate));
      drop();
    },
  };
}

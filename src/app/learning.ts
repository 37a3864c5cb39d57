import commonTest from '../../grammars/en/hearing-test.list?raw';
import type { EntryId, ExamEvent } from '../exam/index.ts';
import type { Fit, Fitting, Sound } from '../ports.ts';
import type { FliteVoice } from '../voice/index.ts';
import { loadFit, storeFit } from './settings.ts';

export interface LearningParts {
  readonly fitting: Fitting;
  readonly store: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
  /** A sentence in an embedded voice, 16 kHz, not heard by anybody. */
  readonly render: (words: string, voice: FliteVoice) => Promise<Sound>;
  /** Resolves when there is nothing more urgent to do. */
  readonly idle: () => Promise<void>;
  /** A fit is used that was learnt from so many replies; of none where one was thrown away. */
  readonly learnt: (replies: number) => void;
}

/** Learns how the examiner speaks from findings whose read-back stood. */
export interface Learning {
  /** What was just heard became these entries of an exam; before the next utterance begins. */
  heard(exam: string, words: readonly string[], entries: readonly EntryId[]): void;
  /** An event of an exam, which may tell that what was heard was right or was not. */
  kept(exam: string, event: ExamEvent): void;
  /** Ends; a fit in use stays. */
  stop(): void;
}

/** An utterance whose findings were read back. */
interface Held {
  readonly exam: string;
  readonly entries: Set<EntryId>;
  readonly number: Promise<number | undefined>;
}

const voices = ['slt', 'rms', 'awb', 'kal16'] as const;
/** What the embedded ears and voices say and hear is English. */
const common = commonTest.trim().split('\n');
/** Learning begins with so many replies, and anew after so many more. */
const least = 10;
const again = 5;
/** Between two moments of learning, and while somebody speaks, ms. */
const restMs = 40;
const busyMs = 500;

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

export function createLearning(parts: LearningParts): Learning {
  const { fitting, store } = parts;
  let held: readonly Held[] = [];
  let stopped = false;
  let fresh = 0;
  let round: Promise<void> | undefined;

  async function use(fit: Fit): Promise<void> {
    if (await fitting.use(fit)) return parts.learnt(fit.replies);
    // It is for other weights than there are now, and for good.
    storeFit(store, undefined);
    parts.learnt(0);
  }
  const kept = loadFit(store);
  if (kept !== undefined) void use(kept).catch(() => undefined);

  async function settle(one: Held, right: boolean): Promise<void> {
    held = held.filter((other) => other !== one);
    const number = await one.number;
    if (number === undefined || stopped) return;
    const count = await fitting.settle(number, right);
    if (right) fresh += 1;
    if (count < least || fresh < again || round !== undefined) return;
    fresh = 0;
    // What fails (a voice, a recogniser that was replaced) is tried again with the next replies.
    round = learn()
      .catch(() => undefined)
      .finally(() => {
        round = undefined;
      });
  }

  async function learn(): Promise<void> {
    for (const [turn, words] of common.entries()) {
      await parts.idle();
      const sound = await parts.render(words, voices[turn % voices.length] ?? 'slt');
      while (!stopped && !(await fitting.test(sound, words.split(' ')))) await pause(busyMs);
    }
    while (!stopped) {
      const learning = await fitting.learn();
      if (stopped || learning.is === 'nothing') return;
      if (learning.is === 'learnt') {
        storeFit(store, learning.fit);
        return use(learning.fit);
      }
      await pause(restMs);
    }
  }

  /** Settles the utterances of an exam of which an entry is among these. */
  function wrong(exam: string, is: (entry: EntryId) => boolean): void {
    for (const one of held) {
      if (one.exam === exam && [...one.entries].some(is)) void settle(one, false).catch(() => {});
    }
  }

  return {
    heard(exam, words, entries) {
      if (entries.length === 0) return;
      // A recogniser that fails says so where it hears.
      const number = fitting.hold(words).catch(() => undefined);
      held = [...held, { exam, entries: new Set(entries), number }];
    },
    kept(exam, event) {
      switch (event.type) {
        case 'confirmed':
          for (const one of held) {
            if (one.exam !== exam) continue;
            for (const entry of event.entries) one.entries.delete(entry);
            if (one.entries.size === 0) void settle(one, true).catch(() => {});
          }
          break;
        case 'corrected':
          wrong(exam, (entry) => entry === event.supersedes);
          break;
        case 'withdrawn':
          wrong(exam, (entry) => event.entries.includes(entry));
          break;
        case 'undone':
          // Which utterance that was is not told: of none is it known that it was right.
          wrong(exam, () => true);
          break;
        case 'started':
          held = held.filter((one) => one.exam === exam);
          break;
        case 'recorded':
        case 'completed':
          break;
        default:
          event satisfies never;
      }
    },
    stop() {
      stopped = true;
    },
  };
}

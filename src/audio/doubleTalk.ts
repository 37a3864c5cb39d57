import { joined, type Sound } from '../ports.ts';
import { frameMs, frameSamples, levelOf, smoothed } from './endpoint.ts';

/**
 * Whether somebody speaks while the program does ("double talk"), by loudness alone: what a
 * loudspeaker gives back to the microphone is about as loud each time, so that a voice well above
 * it is another's. Nothing of that sound is heard for words.
 */
export interface DoubleTalk {
  /** The program begins to speak. */
  begin(): void;
  /** @returns true once in a turn of the program: somebody speaks over it */
  take(sound: Sound): boolean;
  /** The program's sound has died away. A turn that nobody interrupted teaches how loud it is. */
  end(): void;
}

/**
 * How far over the program's own sound another voice must be, dB, and for how long; and how
 * loudness is measured, with hisses in full. Chosen on 60
 * read-backs in a room of 6 × 5 × 3 m, and tried on 90 others in a smaller one (README).
 */
const overDb = 5;
const overMs = 100;
const lift = 0.95;
const levelShare = 0.25;
/** A frame that is not over takes so many from the run. */
const relapse = 1;
/** The program's own loudness in a turn: this share of its frames is no louder. */
const ownShare = 0.95;
/** The loudest of so many turns counts: sentences differ. */
const turnsKept = 8;
/** A turn that gave fewer frames than this is too short to learn from. */
const leastFrames = 30;
/**
 * Where it is interrupted within this time of its beginning twice running, it is the program itself
 * that has become louder (a volume turned up): it is learnt anew.
 */
const soonMs = 600;

/**
 * Before a turn was heard out, the first words of the turn itself tell how loud the program is: sound so
 * far above the room, dB, for so long, unless it falls quiet again for so long before.
 */
const soundDb = 12;
const firstMs = 300;
const lullMs = 150;
/** Later words are louder than those by less than this, dB: chosen on 300 read-backs (README). */
const firstOverDb = 10;
/** Interrupted so often before anything was learnt, it hears itself out first: it may be its own sound. */
const firstTries = 2;

export function createDoubleTalk(): DoubleTalk {
  let owns: number[] = [];
  let tries = 0;
  let first = nothingYet;
  let levels: number[] = [];
  let level = Number.NEGATIVE_INFINITY;
  let run = 0;
  let speaking = false;
  let told = false;
  let soon = 0;
  let rest: Sound = new Float32Array(0);
  let last = 0;

  const over = (frame: Sound): boolean => {
    level = smoothed(level, levelOf(frame, last, lift), levelShare);
    last = frame.at(-1) ?? 0;
    levels.push(level);
    const bound = mostOwn();
    if (owns.length === 0) first = firstWords(first, level);
    run = level > bound ? run + 1 : Math.max(0, run - relapse);
    return run * frameMs >= overMs;
  };

  /** The program itself is no louder, dB, by all that is known. */
  const mostOwn = (): number => {
    if (owns.length > 0) return Math.max(...owns) + overDb;
    const known = tries < firstTries && first.ms >= firstMs;
    return known ? first.loudest + firstOverDb : Number.POSITIVE_INFINITY;
  };

  return {
    begin() {
      if (speaking) return;
      speaking = true;
      told = false;
      levels = [];
      first = nothingYet;
      level = Number.NEGATIVE_INFINITY;
      run = 0;
      rest = new Float32Array(0);
    },
    take(sound) {
      if (!speaking || told) return false;
      const all = joined([rest, sound]);
      let at = 0;
      for (; at + frameSamples <= all.length && !told; at += frameSamples) {
        told = over(all.subarray(at, at + frameSamples));
      }
      rest = all.slice(at);
      if (!told) return false;
      if (owns.length === 0) tries += 1;
      soon = levels.length * frameMs <= soonMs ? soon + 1 : 0;
      if (soon >= 2) {
        owns = [];
        tries = firstTries;
        soon = 0;
      }
      return true;
    },
    end() {
      if (speaking && !told && levels.length >= leastFrames) {
        const sorted = levels.toSorted((a, b) => a - b);
        const own = sorted[Math.floor(ownShare * (sorted.length - 1))] ?? 0;
        owns = [...owns, own].slice(-turnsKept);
        tries = 0;
        soon = 0;
      }
      speaking = false;
    },
  };
}

/** What is known of a turn's first words. */
interface FirstWords {
  /** The quietest of the turn so far, dB. */
  readonly room: number;
  /** The loudest of its first words, dB. */
  readonly loudest: number;
  /** How long they have sounded, and how long it has been quiet since, ms. */
  readonly ms: number;
  readonly quietMs: number;
}

const nothingYet: FirstWords = {
  room: Number.POSITIVE_INFINITY,
  loudest: Number.NEGATIVE_INFINITY,
  ms: 0,
  quietMs: 0,
};

/** One frame further into a turn; once they are known they stay as they are. */
function firstWords(now: FirstWords, level: number): FirstWords {
  if (now.ms >= firstMs) return now;
  const room = Math.min(now.room, level);
  const sounds = level > room + soundDb;
  const quietMs = sounds ? 0 : now.quietMs + frameMs;
  // A click, or a word of somebody else before the program's first, is not the program.
  if (quietMs >= lullMs || (now.ms === 0 && !sounds)) return { ...nothingYet, room };
  return { room, loudest: Math.max(now.loudest, level), ms: now.ms + frameMs, quietMs };
}

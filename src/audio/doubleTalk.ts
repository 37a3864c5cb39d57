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
 * How far over the program's own sound another voice must be, dB, and for how long. Chosen on 60
 * read-backs in a room of 6 × 5 × 3 m, and tried on 90 others in a smaller one (README).
 */
const overDb = 5;
const overMs = 100;
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

/** Until a first turn was heard out nothing is known, and nothing interrupts. */
export function createDoubleTalk(): DoubleTalk {
  let owns: number[] = [];
  let levels: number[] = [];
  let level = Number.NEGATIVE_INFINITY;
  let run = 0;
  let speaking = false;
  let told = false;
  let soon = 0;
  let rest: Sound = new Float32Array(0);
  let last = 0;

  const over = (frame: Sound): boolean => {
    level = smoothed(level, levelOf(frame, last));
    last = frame.at(-1) ?? 0;
    levels.push(level);
    const own = Math.max(...owns);
    run = level > own + overDb ? run + 1 : Math.max(0, run - relapse);
    return owns.length > 0 && run * frameMs >= overMs;
  };

  return {
    begin() {
      if (speaking) return;
      speaking = true;
      told = false;
      levels = [];
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
      soon = levels.length * frameMs <= soonMs ? soon + 1 : 0;
      if (soon >= 2) {
        owns = [];
        soon = 0;
      }
      return true;
    },
    end() {
      if (speaking && !told && levels.length >= leastFrames) {
        const sorted = levels.toSorted((a, b) => a - b);
        const own = sorted[Math.floor(ownShare * (sorted.length - 1))] ?? 0;
        owns = [...owns, own].slice(-turnsKept);
        soon = 0;
      }
      speaking = false;
    },
  };
}

import type { Sound } from '../ports.ts';
import { createLevels } from './endpoint.ts';

/**
 * How much of itself a room gives back to an utterance: words go on in it when they have ended, and what
 * is said after them lies under that. Told by how fast the sound falls.
 */
export interface Echo {
  /** An utterance begins. */
  begin(): void;
  /** Its sound, in whole frames. */
  take(sound: Sound): void;
  /** By how many dB it falls within an eighth of a second, where it falls fastest; without end where nobody knows. */
  fall(): number;
}

/** Frames of 10 ms after a loud one in which it is looked what is left of it. */
const later = [12, 17] as const;
/** Frames at least so near to the loudest, in dB, are loud. */
const loud = 20;
/** The first of the fastest falls may be chance. */
const passedOver = 5;

export function createEcho(): Echo {
  const frames = createLevels();
  let levels: number[] = [];
  return {
    begin() {
      frames.begin();
      levels = [];
    },
    take(sound) {
      levels.push(...frames.of(sound));
    },
    fall() {
      const least = levels.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY) - loud;
      const falls = levels.flatMap((level, at) => {
        const [from, to] = later;
        if (level < least || at + to > levels.length) return [];
        const left = levels.slice(at + from, at + to);
        return [level - left.reduce((sum, one) => sum + one, 0) / left.length];
      });
      return falls.toSorted((a, b) => b - a)[passedOver] ?? Number.POSITIVE_INFINITY;
    },
  };
}

/**
 * How much of itself a room gives back to an utterance: words go on in it when they have ended, and what
 * is said after them lies under that. Told by how fast the sound falls.
 */
export interface Echo {
  /** An utterance begins. */
  begin(): void;
  /** Its levels, a frame each. */
  take(levels: readonly number[]): void;
  /** By how many dB it falls within an eighth of a second, where it falls fastest; without end where nobody knows. */
  fall(): number;
}

/** Frames of 10 ms after a loud one, of which the first and the end, in which it is looked what is left of it. */
const from = 12;
const to = 17;
/** Frames at least so near to the loudest, in dB, are loud. */
const loud = 20;
/** The first of the fastest falls may be chance. */
const passedOver = 5;

export function createEcho(): Echo {
  let levels: number[] = [];
  return {
    begin() {
      levels = [];
    },
    take(more) {
      levels.push(...more);
    },
    fall() {
      const loudest = levels.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
      const falls = levels.flatMap((level, at) => {
        if (level < loudest - loud || at + to > levels.length) return [];
        const left = levels.slice(at + from, at + to);
        return [level - left.reduce((sum, one) => sum + one, 0) / left.length];
      });
      return falls.toSorted((a, b) => b - a)[passedOver] ?? Number.POSITIVE_INFINITY;
    },
  };
}

/**
 * Finds pieces of sound that never came, by two clocks: that of the sound system, whose frames are
 * numbered, and the wall clock, behind which sound stays for good where it was dropped before it was
 * numbered. That sound comes late, all at once, after the page was busy is no gap.
 */
export interface GapFinder {
  /**
   * Takes a piece as it arrives.
   * @param at the frame at which it begins
   * @param now time of its arrival, ms
   * @returns ms of sound that are missing before it; 0 where it follows the one before
   */
  take(at: number, frames: number, now: number): number;
}

/** A hole shorter than this, ms, takes no sound of speech away. */
const leastMs = 20;
/** Staying behind the wall clock for less than this is the jitter of timers and of two clocks. */
const leastBehindMs = 150;
/** It is behind for good where it was so for so many pieces, which came at about their own pace. */
const pieces = 50;
const leastPace = 0.8;
/** Two clocks drift apart: share of a small difference that is taken over each time. */
const driftShare = 0.5;

/**
 * A sound system that starts hands over a first piece and then skips (112 ms in three of four starts of
 * Chromium). Nobody has spoken yet: what is missing so soon after the first frame, ms, is its starting.
 */
const startingMs = 200;

/** @param rate frames a second */
export function createGapFinder(rate: number): GapFinder {
  let first: number | undefined;
  let next: number | undefined;
  let count = 0;
  let since = 0;
  let least = Number.POSITIVE_INFINITY;
  /** How far the frames are behind the wall clock where nothing is missing, ms. */
  let usual: number | undefined;
  const ms = (frames: number): number => (frames / rate) * 1000;

  return {
    take(at, frames, now) {
      const missing = next === undefined ? 0 : ms(at - next);
      next = at + frames;
      first ??= at;
      if (missing >= leastMs) {
        // Both clocks tell of it; it is told once.
        usual = undefined;
        count = 0;
        return ms(at - first) - missing < startingMs ? 0 : missing;
      }
      if (count === 0) {
        since = now;
        least = Number.POSITIVE_INFINITY;
      }
      count += 1;
      least = Math.min(least, now - ms(next));
      if (count < pieces) return 0;
      count = 0;
      if (now - since < leastPace * ms(pieces * frames)) return 0;
      usual ??= least;
      const lost = least - usual;
      if (lost < leastBehindMs) {
        usual += lost < 0 ? lost : driftShare * lost;
        return 0;
      }
      usual = least;
      return lost;
    },
  };
}

import type { HeardWord } from '../ports.ts';
import { frameMs, smoothed } from './endpoint.ts';

/**
 * How near to the microphone words were said, by loudness: a few words far fainter than the rest of an
 * utterance, or an utterance far fainter than the examiner's others, may be somebody else's; words hardly
 * louder than the room may be heard wrong.
 */
export interface Nearness {
  /** An utterance begins. */
  begin(): void;
  /** Its levels, a frame each. */
  take(levels: readonly number[]): void;
  /**
   * How far, in dB, the faintest run of these words lies under the loudest word of the utterance, or
   * the loudest word under what it usually is; 0 where there is nothing to compare.
   */
  faint(words: readonly HeardWord[]): number;
  /**
   * How far, in dB, the loudest of these words lies over the room just before the utterance or at its end,
   * whichever is louder: noise may swell. Without end where nobody knows.
   */
  overRoom(words: readonly HeardWord[]): number;
  /** The utterance in progress, with these words, was examination speech. */
  learn(words: readonly HeardWord[]): void;
}

const levelShare = 0.3;
/** Frames from before the onset, with which every utterance begins, once their level has settled. */
const before = [2, 30] as const;
/** Frames at its end, which comes when it has been quiet for longer. */
const after = 10;
/** Words between others are faint by themselves ("the", "at"): so much in a row must be. */
const leastRunMs = 200;
/**
 * The middle of so many utterances is usual. Whoever moves away for good is usual again after half of
 * them; fewer, and a neighbour in a pause would be.
 */
const kept = 9;

export function createNearness(): Nearness {
  let levels: number[] = [];
  let usual: readonly number[] = [];

  const loudnessOf = ({ startMs, endMs }: HeardWord): number =>
    levels
      .slice(Math.floor(startMs / frameMs), Math.ceil(endMs / frameMs))
      .reduce((most, level) => Math.max(most, level), Number.NEGATIVE_INFINITY);
  /** Words of which it is known when they were said, with their loudness. */
  const measured = (words: readonly HeardWord[]) =>
    words
      .map((word) => ({ ...word, loudness: loudnessOf(word) }))
      .filter(({ loudness }) => Number.isFinite(loudness));

  return {
    begin() {
      levels = [];
    },
    take(more) {
      for (const level of more) {
        const before = levels.at(-1) ?? Number.NEGATIVE_INFINITY;
        levels.push(smoothed(before, level, levelShare));
      }
    },
    faint(words) {
      const known = measured(words);
      if (known.length === 0) return 0;
      const loudest = loudestOf(known);
      const within = known.map((_, i) => loudest - loudestOfRun(known.slice(i)));
      return Math.max(0, (middle(usual) ?? loudest) - loudest, ...within);
    },
    overRoom(words) {
      const known = measured(words);
      if (known.length === 0) return Number.POSITIVE_INFINITY;
      const rooms = [levels.slice(...before), levels.slice(-after)];
      return (
        loudestOf(known) - Math.max(...rooms.map((of) => middle(of) ?? Number.NEGATIVE_INFINITY))
      );
    },
    learn(words) {
      const known = measured(words);
      if (known.length === 0) return;
      usual = [...usual, loudestOf(known)].slice(-kept);
    },
  };
}

const loudestOf = (words: readonly { readonly loudness: number }[]): number =>
  Math.max(...words.map(({ loudness }) => loudness));

/** The loudest of the first words that together are long enough; above all where they are not. */
function loudestOfRun(words: readonly (HeardWord & { readonly loudness: number })[]): number {
  const from = words[0]?.startMs ?? 0;
  const end = words.findIndex(({ endMs }) => endMs - from >= leastRunMs);
  if (end < 0) return Number.POSITIVE_INFINITY;
  return loudestOf(words.slice(0, end + 1));
}

const middle = (of: readonly number[]): number | undefined =>
  of.toSorted((a, b) => a - b)[Math.floor(of.length / 2)];

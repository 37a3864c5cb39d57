import { ctc } from './ctc.ts';
import type { Lexicon } from './lexicon.ts';
import { labels } from './network.ts';

/** A sentence as the network's head gets it, and what it was. */
export interface Reply {
  /** Rows of 40 ms, one after another, of what enters the head. */
  readonly input: Float32Array;
  /** Labels of its phones. */
  readonly phones: readonly number[];
}

/** A row with less than this of "none" is no silence, as a natural logarithm. */
const silent = Math.log(0.995);
/** Rows of silence that are left on both sides. */
const margin = 8;
/** Combinations of pronunciations that are looked at. */
const mostWays = 24;

/**
 * What can be learnt from of a sentence: cut to where it sounds, in the pronunciation that is likeliest.
 *
 * @param frames natural-log probabilities of the labels, two frames a row
 * @param most rows of the longest that can be learnt from
 * @returns nothing where it is silent, too long or too short for its words
 */
export function replyOf(
  rows: readonly Float32Array[],
  frames: readonly Float32Array[],
  words: readonly string[],
  lexicon: Lexicon,
  most: number,
): Reply | undefined {
  const count = Math.min(rows.length, Math.floor(frames.length / 2));
  const sounds = (row: number): boolean =>
    [2 * row, 2 * row + 1].some((frame) => (frames[frame]?.[0] ?? 0) < silent);
  const sounding = Array.from({ length: count }, (_, row) => row).filter(sounds);
  const [first, last] = [sounding[0], sounding.at(-1)];
  if (first === undefined || last === undefined) return undefined;
  const from = Math.max(0, first - margin);
  const to = Math.min(count, last + 1 + margin);
  if (to - from > most) return undefined;
  const logs = flat(frames.slice(2 * from, 2 * to));
  let phones: readonly number[] | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const way of ways(words, lexicon)) {
    const { loss } = ctc(logs, way, labels) ?? { loss: Number.POSITIVE_INFINITY };
    if (loss < least) [phones, least] = [way, loss];
  }
  if (phones === undefined || phones.length === 0) return undefined;
  return { input: flat(rows.slice(from, to)), phones };
}

function ways(words: readonly string[], lexicon: Lexicon): readonly (readonly number[])[] {
  let all: (readonly number[])[] = [[]];
  for (const word of words) {
    const rows = lexicon.get(word) ?? [];
    all = all.flatMap((before) => rows.map((row) => [...before, ...row])).slice(0, mostWays);
  }
  return all;
}

function flat(rows: readonly Float32Array[]): Float32Array {
  const width = rows[0]?.length ?? 0;
  const all = new Float32Array(rows.length * width);
  for (const [i, row] of rows.entries()) all.set(row, i * width);
  return all;
}

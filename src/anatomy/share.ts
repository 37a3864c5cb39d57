import { type Segment, segments } from '../exam/index.ts';

/** Parts of a whole, each 0 to 1, adding to 1. */
export type Shares<K extends string = string> = readonly (readonly [key: K, share: number])[];

/** Segments with their shares, written as handbooks do: `'C6 .15 C7 .65 C8 .2'`. */
export function segmentShares(text: string): Shares<Segment> {
  return shares(text, isSegment);
}

/** Any named parts with their shares, e.g. `'femoral .4 lumbar .6'`. A part alone counts 1. */
export function shares<K extends string>(
  text: string,
  known: (word: string) => word is K,
): Shares<K> {
  const words = text.trim().split(/\s+/);
  const [only] = words;
  if (words.length === 1 && only !== undefined && known(only)) return [[only, 1]];
  const parts: (readonly [K, number])[] = [];
  for (let i = 0; i < words.length; i += 2) {
    const key = words[i] ?? '';
    const share = Number(words[i + 1]);
    if (!known(key)) throw new RangeError(`"${key}" in "${text}" is not a part of the anatomy`);
    if (!(share > 0 && share <= 1)) throw new RangeError(`"${text}": ${key} needs a share, 0 to 1`);
    parts.push([key, share]);
  }
  const sum = parts.reduce((total, [, share]) => total + share, 0);
  if (Math.abs(sum - 1) > 1e-9) throw new RangeError(`"${text}" adds to ${sum}, not to 1`);
  return parts;
}

const known: ReadonlySet<string> = new Set(segments);
export const isSegment = (word: string): word is Segment => known.has(word);

/** Counted from the top: C1 is 0, S5 is 29. */
export const segmentIndex = (segment: Segment): number => segments.indexOf(segment);

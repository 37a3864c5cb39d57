import { linesOf } from './line.ts';

/** What a word may be mistaken for by its sound, either way round; "" where it may come or go unheard. */
export type Alike = ReadonlyMap<string, readonly string[]>;

/**
 * Reads a file of words that sound alike, two a line; `-` stands for no word.
 * @throws SyntaxError naming the line that is none
 */
export function parseAlike(text: string, source: string): Alike {
  const all = new Map<string, string[]>();
  const add = (word: string, other: string): void => {
    const known = all.get(word);
    if (known === undefined) all.set(word, [other]);
    else known.push(other);
  };
  for (const { stripped, place } of linesOf(text, source)) {
    const [one, other, more] = stripped.split(/\s+/).map((word) => (word === '-' ? '' : word));
    if (one === undefined || other === undefined || more !== undefined) {
      throw new SyntaxError(`${place}: a line is two words, found "${stripped}"`);
    }
    add(one, other);
    add(other, one);
  }
  return all;
}

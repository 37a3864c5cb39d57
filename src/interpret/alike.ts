import { linesOf } from './line.ts';

/** What a word may be taken for by its sound; "" where it may go unheard. */
export interface Mistake {
  readonly word: string;
  /** So many nats are given to it, as the likelier of the two. */
  readonly nats: number;
}

/** Mistakes for each word, either way round; "" for what may come where nothing was said. */
export type Alike = ReadonlyMap<string, readonly Mistake[]>;

const spoken = (word: string): string => (word === '-' ? '' : word);

/**
 * Reads a file of words that sound alike, two a line; `-` stands for no word. Nats after them count where the first was
 * heard: it is seldom said, and was more likely the second than their sound tells.
 * @throws SyntaxError naming the line that is none
 */
export function parseAlike(text: string, source: string): Alike {
  const all = new Map<string, Mistake[]>();
  const add = (word: string, mistake: Mistake): void => {
    const known = all.get(word);
    if (known === undefined) all.set(word, [mistake]);
    else known.push(mistake);
  };
  for (const { stripped, place } of linesOf(text, source)) {
    const [one, other, last = '0', more] = stripped.split(/\s+/);
    const nats = Number(last);
    if (one === undefined || other === undefined || !(nats >= 0) || more !== undefined) {
      throw new SyntaxError(
        `${place}: a line is two words, and nats where there are any, found "${stripped}"`,
      );
    }
    add(spoken(one), { word: spoken(other), nats });
    add(spoken(other), { word: spoken(one), nats: 0 });
  }
  return all;
}

import nlp from 'compromise/one';
import type { Sentence } from '../grammar/index.ts';
import { linesOf } from './line.ts';

/** Short forms and the words they stand for, longest first. */
export type Abbreviations = readonly (readonly [
  short: readonly string[],
  words: readonly string[],
])[];

/**
 * Reads lines of `short = words`; `#` begins a comment.
 * @throws SyntaxError naming the line that is neither
 */
export function parseAbbreviations(text: string, source: string): Abbreviations {
  const pairs: [readonly string[], readonly string[]][] = [];
  for (const { stripped, place } of linesOf(text, source)) {
    const [short, words, more] = stripped.split('=').map((part) => part.trim().split(/\s+/));
    if (short === undefined || words === undefined || more !== undefined || words[0] === '') {
      throw new SyntaxError(`${place}: a line is "short = words", found "${stripped}"`);
    }
    pairs.push([short, words]);
  }
  return pairs.sort(([a], [b]) => b.length - a.length);
}

/** Written marks that a tokenizer would tear apart, and how they are spoken. */
const written: readonly (readonly [RegExp, string])[] = [
  [/\b([RL])(?=\d\s?[+-])/gi, '$1 '],
  [/\b(\d{1,2})([+-]?)\s*\/\s*5\b/g, ' $1$2 out of 5 '],
  [/\+{4}/g, ' 4+ '],
  [/\+{3}/g, ' 3+ '],
  [/(?<=^|\s)\+{2}(?=\s|,|$)/g, ' 2+ '],
  [/\b(\d{1,2})\s?\+(?!\w)/g, ' $1 plus '],
  [/\b(\d)\s?[-–−](?![\w])/g, ' $1 minus '],
  [/\b([CTLS])-?(\d{1,2})\b/gi, ' $1segment $2 '],
  [/[=→]/g, ' '],
];

/** How a letter written against its number ("L5") is told from a lone one, which is a side. */
const segmentLetter = /^([ctls])segment$/;

/**
 * The words of typed or externally recognised text, as the grammar spells them: "R patellar 3+"
 * becomes `right patellar three plus`. A lone L is a side or, in "l five", a segment; where the text
 * leaves that open there are two spellings, and the grammar tells which it reads.
 *
 * @param numbers every sentence of the grammar's number rule, with its `number=` tags
 */
export function wordsOfText(
  text: string,
  abbreviations: Abbreviations,
  numbers: ReadonlyMap<number, readonly string[]>,
): readonly (readonly string[])[] {
  let plain = text.replaceAll('’', "'");
  // Whole short forms with signs in them ("b/l", "+ve") must be met before signs are taken apart.
  for (const [short, words] of abbreviations) {
    const form = short.join(' ');
    if (/^[\w']+( [\w']+)*$/.test(form)) continue;
    const pattern = form.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
    plain = plain.replace(
      new RegExp(`(?<![\\w/+-])${pattern}(?![\\w/])`, 'gi'),
      ` ${words.join(' ')} `,
    );
  }
  for (const [pattern, spoken] of written) plain = plain.replace(pattern, spoken);
  const tokens = nlp
    .tokenize(plain)
    .json({ terms: { normal: true, implicit: true } })
    .flatMap((sentence: TokenizedSentence) => sentence.terms)
    .map(({ implicit, normal }: Token) => implicit || normal)
    .filter((word: string) => /[\p{L}\p{N}]/u.test(word));
  const segments = abbreviations.filter(([short]) => short.join() !== 'l');
  return [abbreviations, segments].map((forms) => spelled(expanded(tokens, forms), numbers));
}

interface Token {
  readonly normal: string;
  readonly implicit?: string | null;
}
interface TokenizedSentence {
  readonly terms: readonly Token[];
}

function expanded(tokens: readonly string[], abbreviations: Abbreviations): readonly string[] {
  const words: string[] = [];
  for (let i = 0; i < tokens.length; ) {
    const token = tokens[i] ?? '';
    const letter = segmentLetter.exec(token)?.[1];
    if (letter !== undefined) {
      words.push(letter);
      i += 1;
      continue;
    }
    const found = abbreviations.find(([short]) =>
      short.every((part, k) => tokens[i + k]?.toLowerCase() === part.toLowerCase()),
    );
    words.push(...(found?.[1] ?? [token]));
    i += found?.[0].length ?? 1;
  }
  return words;
}

const spelled = (
  words: readonly string[],
  numbers: ReadonlyMap<number, readonly string[]>,
): readonly string[] =>
  words.flatMap((word) => (/^\d+$/.test(word) ? (numbers.get(Number(word)) ?? [word]) : [word]));

/** Numbers by value, from the sentences of a number rule; the shortest way to say each. */
export function spokenNumbers(
  sentences: readonly Sentence[],
): ReadonlyMap<number, readonly string[]> {
  const numbers = new Map<number, readonly string[]>();
  for (const { words, tags } of sentences) {
    const value = tags.reduce((sum, tag) => sum + Number(tag.replace('number=', '')), 0);
    const known = numbers.get(value);
    if (known === undefined || words.length < known.length) numbers.set(value, words);
  }
  return numbers;
}

import nlp from 'compromise/one';
import type { Tokens } from './words.ts';

interface Token {
  readonly normal: string;
  readonly implicit?: string | null;
}
interface TokenizedSentence {
  readonly terms: readonly Token[];
}

/** Text taken apart by `compromise`. */
export const tokens: Tokens = (text) =>
  nlp
    .tokenize(text)
    .json({ terms: { normal: true, implicit: true } })
    .flatMap((sentence: TokenizedSentence) => sentence.terms)
    .map(({ implicit, normal }: Token) => implicit || normal);

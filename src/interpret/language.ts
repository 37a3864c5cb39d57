import {
  assemble,
  compile,
  draws,
  expand,
  type Grammar,
  type GrammarSource,
  link,
  match,
  type Program,
  type Sentence,
  type WordNetwork,
  weigh,
} from '../grammar/index.ts';
import { parseAbbreviations, spokenNumbers, wordsOfText } from './words.ts';

/** The grammar of one language, its rules compiled when first wanted. */
export interface Language {
  readonly grammar: Grammar;
  program(rule: string): Program;
  /** What may be said, each word weighted by how often it is. */
  network(rule: string): WordNetwork;
  /** Every sentence of a rule, or undefined when there are more than a slot can have. */
  sentences(rule: string): readonly Sentence[] | undefined;
  /** The words of typed text, as the grammar spells them. */
  words(text: string): readonly string[];
}

/** A rule with more sentences than this is no slot but a whole phrase. */
const mostSentences = 2000;

/** Of how examiners speak there are some hundred examples; the grammar's own weights fill the rest. */
const usage = { draws: 60_000, eachExample: 40 } as const;

/**
 * @param sources the grammar files
 * @param shortForms the file of abbreviations, `short = words` a line
 * @param examples how things are said: one utterance each, as `words` takes it
 * @throws GrammarError when the sources do not make one sound grammar
 * @throws SyntaxError when the abbreviations cannot be read
 */
export function createLanguage(
  sources: readonly GrammarSource[],
  shortForms: GrammarSource,
  examples: readonly string[] = [],
): Language {
  const grammar = link(sources);
  const abbreviations = parseAbbreviations(shortForms.text, shortForms.source);
  const program = remembered((rule) => assemble(grammar, rule));
  const sentences = remembered((rule): readonly Sentence[] | undefined => {
    const all: Sentence[] = [];
    for (const sentence of expand(grammar, rule)) {
      if (all.push(sentence) > mostSentences) return undefined;
    }
    return all;
  });
  const numbers = spokenNumbers(sentences('common.number') ?? []);
  const words = (text: string): readonly string[] => {
    const spellings = wordsOfText(text, abbreviations, numbers);
    const read = spellings.find((one) => match(program('exam.open'), one) !== undefined);
    return read ?? spellings[0] ?? [];
  };
  function* said(rule: string): Generator<readonly string[]> {
    yield* draws(grammar, rule, usage.draws);
    for (const example of examples.map(words)) {
      for (let n = 0; n < usage.eachExample; n++) yield example;
    }
  }
  return {
    grammar,
    program,
    network: remembered((rule) => weigh(compile(program(rule)), said(rule))),
    sentences,
    words,
  };
}

function remembered<T>(make: (rule: string) => T): (rule: string) => T {
  const made = new Map<string, { readonly value: T }>();
  return (rule) => {
    const known = made.get(rule) ?? { value: make(rule) };
    made.set(rule, known);
    return known.value;
  };
}

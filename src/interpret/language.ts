import {
  assemble,
  bundled,
  compile,
  draws,
  expand,
  type Grammar,
  type GrammarSource,
  link,
  match,
  type Program,
  ruleOf,
  type Sentence,
  union,
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
  /** The rules whose networks make up that of a rule: itself, unless it only offers others. */
  parts(rule: string): readonly string[];
  /** Every sentence of a rule, or undefined when there are more than a slot can have. */
  sentences(rule: string): readonly Sentence[] | undefined;
  /** The words of typed text, as the grammar spells them. */
  words(text: string): readonly string[];
}

interface Part {
  readonly name: string;
  readonly weight: number;
}

/** A rule with more sentences than this is no slot but a whole phrase. */
const mostSentences = 2000;

/** Of how examiners speak there are some hundred examples; the grammar's own weights fill the rest. */
const usage = { drawsAnArc: 2, eachExample: 40 } as const;

/**
 * @param sources the grammar files
 * @param shortForms the file of abbreviations, `short = words` a line
 * @param options.examples how things are said: one utterance each, as `words` takes it
 * @param options.made networks brought ready made, as `network` once gave them
 * @throws GrammarError when the sources do not make one sound grammar
 * @throws SyntaxError when the abbreviations cannot be read
 */
export function createLanguage(
  sources: readonly GrammarSource[],
  shortForms: GrammarSource,
  {
    examples = [],
    made = new Map(),
  }: {
    readonly examples?: readonly string[];
    readonly made?: ReadonlyMap<string, WordNetwork>;
  } = {},
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
  let known: readonly (readonly string[])[] | undefined;
  function* said(rule: string, arcs: number): Generator<readonly string[]> {
    yield* draws(grammar, rule, usage.drawsAnArc * arcs);
    known ??= examples.map(words);
    for (const example of known) {
      for (let n = 0; n < usage.eachExample; n++) yield example;
    }
  }
  /** The rules that a rule offers whole, where it is nothing but a choice of such. */
  const parts = (rule: string): readonly Part[] | undefined => {
    const { body } = ruleOf(grammar, rule);
    if (body.is !== 'choice') return undefined;
    const total = body.weights.reduce((sum, weight) => sum + weight, 0);
    const rules = body.options.flatMap((option, i) =>
      option.is === 'rule' && ruleOf(grammar, option.name).isPublic
        ? [{ name: option.name, weight: Math.log((body.weights[i] ?? 1) / total) }]
        : [],
    );
    return rules.length === body.options.length ? rules : undefined;
  };
  const network = remembered((rule): WordNetwork => {
    const ready = made.get(rule);
    if (ready !== undefined) return ready;
    const several = parts(rule);
    if (several !== undefined) {
      return union(several.map(({ name, weight }) => ({ network: network(name), weight })));
    }
    const plain = bundled(compile(program(rule)));
    return weigh(plain, said(rule, plain.arcs.length));
  });
  return {
    grammar,
    program,
    network,
    parts: (rule) => parts(rule)?.map(({ name }) => name) ?? [rule],
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

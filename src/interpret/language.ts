import {
  assemble,
  bundled,
  compile,
  draws,
  type Expansion,
  expand,
  type Grammar,
  type GrammarSource,
  link,
  match,
  named,
  type Program,
  ruleOf,
  type Sentence,
  series,
  union,
  type WordNetwork,
  weigh,
} from '../grammar/index.ts';
import { type Alike, parseAlike } from './alike.ts';
import { parseAbbreviations, spokenNumbers, wordsOfText } from './words.ts';

/** The grammar of one language, its rules compiled when first wanted. */
export interface Language {
  readonly grammar: Grammar;
  program(rule: string): Program;
  /** What may be said, each word weighted by how often it is. */
  network(rule: string): WordNetwork;
  /** The rules whose networks make up that of a rule: itself, unless it is nothing but others. */
  parts(rule: string): readonly string[];
  /** Every sentence of a rule, or undefined when there are more than a slot can have. */
  sentences(rule: string): readonly Sentence[] | undefined;
  /** The words of typed text, as the grammar spells them. */
  words(text: string): readonly string[];
  /** Words that are taken for one another, or lost, by their sound. */
  readonly alike: Alike;
}

/** A network made of others' networks when it is wanted. */
interface Whole {
  /** The rules of those. */
  readonly names: readonly string[];
  readonly network: () => WordNetwork;
}

/** A rule with more sentences than this is no slot but a whole phrase. */
const mostSentences = 2000;

/** Of how examiners speak there are some hundred examples; the grammar's own weights fill the rest. */
const usage = { drawsAnArc: 2, eachExample: 40 } as const;

/**
 * @param sources the grammar files
 * @param shortForms the file of abbreviations, `short = words` a line
 * @param options.alike the file of words that sound alike, two a line
 * @param options.examples how things are said: one utterance each, as `words` takes it
 * @param options.made networks brought ready made, as `network` once gave them
 * @throws GrammarError when the sources do not make one sound grammar
 * @throws SyntaxError when the abbreviations or the words that sound alike cannot be read
 */
export function createLanguage(
  sources: readonly GrammarSource[],
  shortForms: GrammarSource,
  {
    alike = { source: 'alike.txt', text: '' },
    examples = [],
    made = new Map(),
  }: {
    readonly alike?: GrammarSource;
    readonly examples?: readonly string[];
    readonly made?: ReadonlyMap<string, WordNetwork>;
  } = {},
): Language {
  const grammar = link(sources);
  const detailed = named(grammar);
  const abbreviations = parseAbbreviations(shortForms.text, shortForms.source);
  const near = parseAlike(alike.text, alike.source);
  const program = remembered((rule) => assemble(detailed, rule));
  const sentences = remembered((rule): readonly Sentence[] | undefined => {
    const all: Sentence[] = [];
    for (const sentence of expand(detailed, rule)) {
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
  /** The public rules that a rule is made of, one after the other or to choose from, if of nothing else. */
  const whole = (e: Expansion): Whole | undefined => {
    if (e.is === 'rule') {
      return ruleOf(grammar, e.name).isPublic
        ? { names: [e.name], network: () => network(e.name) }
        : undefined;
    }
    if (e.is !== 'choice' && e.is !== 'sequence') return undefined;
    const all = (e.is === 'choice' ? e.options : e.parts).map(whole);
    const known = all.filter((one) => one !== undefined);
    if (known.length < all.length) return undefined;
    const names = known.flatMap((one) => one.names);
    if (e.is === 'sequence') {
      return { names, network: () => known.map((one) => one.network()).reduce(series) };
    }
    const total = e.weights.reduce((sum, weight) => sum + weight, 0);
    const options = known.map((one, i) => ({ one, weight: Math.log((e.weights[i] ?? 1) / total) }));
    return {
      names,
      network: () => union(options.map(({ one, weight }) => ({ network: one.network(), weight }))),
    };
  };
  const parts = (rule: string): Whole | undefined => {
    const { body } = ruleOf(grammar, rule);
    return body.is === 'choice' ? whole(body) : undefined;
  };
  const network = remembered((rule): WordNetwork => {
    const ready = made.get(rule);
    if (ready !== undefined) return ready;
    const several = parts(rule);
    if (several !== undefined) return several.network();
    const plain = bundled(compile(program(rule)));
    return weigh(plain, said(rule, plain.arcs.length));
  });
  const leaves = (rule: string): readonly string[] => parts(rule)?.names.flatMap(leaves) ?? [rule];
  return {
    grammar,
    program,
    network,
    parts: (rule) => leaves(rule),
    sentences,
    words,
    alike: near,
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

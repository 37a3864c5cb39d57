import type { Expansion, Grammar } from './ast.ts';
import { ruleOf } from './link.ts';

/** One sentence of a rule with the tags met on the way. */
export interface Sentence {
  readonly words: readonly string[];
  readonly tags: readonly string[];
  /** How often it is meant, among the rule's sentences: a natural logarithm. */
  readonly weight: number;
}

const nothing: Sentence = { words: [], tags: [], weight: 0 };

/**
 * Every sentence of a rule, lazily; a repetition is taken at most `turns` times.
 * @throws RangeError when the grammar has no such rule
 */
export function* expand(grammar: Grammar, name: string, turns = 1): Generator<Sentence> {
  yield* sentences(ruleOf(grammar, name).body);

  function* sentences(e: Expansion): Generator<Sentence> {
    switch (e.is) {
      case 'word':
        yield { ...nothing, words: [e.word] };
        return;
      case 'tag':
        yield { ...nothing, tags: [e.text] };
        return;
      case 'rule':
        yield* sentences(ruleOf(grammar, e.name).body);
        return;
      case 'sequence':
        yield* joined(e.parts);
        return;
      case 'choice': {
        const total = e.weights.reduce((sum, weight) => sum + weight, 0);
        for (const [i, option] of e.options.entries()) {
          yield* rarer(sentences(option), (e.weights[i] ?? 1) / total);
        }
        return;
      }
      case 'optional':
        yield* rarer([nothing], 1 / 2);
        yield* rarer(sentences(e.part), 1 / 2);
        return;
      case 'repeat': {
        const most = Math.max(turns, e.least);
        for (let n: number = e.least; n <= most; n++) {
          const part = joined(Array.from({ length: n }, () => e.part));
          yield* rarer(part, 1 / (most - e.least + 1));
        }
        return;
      }
      default:
        e satisfies never;
    }
  }

  function* joined(parts: readonly Expansion[]): Generator<Sentence> {
    const [first, ...rest] = parts;
    if (first === undefined) {
      yield nothing;
      return;
    }
    for (const head of sentences(first)) {
      for (const tail of joined(rest)) {
        yield {
          words: [...head.words, ...tail.words],
          tags: [...head.tags, ...tail.tags],
          weight: head.weight + tail.weight,
        };
      }
    }
  }
}

function* rarer(sentences: Iterable<Sentence>, share: number): Generator<Sentence> {
  for (const sentence of sentences) {
    yield { ...sentence, weight: sentence.weight + Math.log(share) };
  }
}

/**
 * One sentence of a rule, its choices made by `pick(n)`, which gives a whole number below n. With a
 * random pick this draws from the language as its weights say; an optional part is taken half of
 * the time, a repetition `least` to `least + 2` times.
 */
export function sample(
  grammar: Grammar,
  name: string,
  pick: (below: number) => number,
): Omit<Sentence, 'weight'> {
  const words: string[] = [];
  const tags: string[] = [];
  const walk = (e: Expansion): void => {
    switch (e.is) {
      case 'word':
        words.push(e.word);
        return;
      case 'tag':
        tags.push(e.text);
        return;
      case 'rule':
        walk(ruleOf(grammar, e.name).body);
        return;
      case 'sequence':
        e.parts.forEach(walk);
        return;
      case 'choice': {
        const option = e.options[drawn(e.weights, pick)];
        if (option !== undefined) walk(option);
        return;
      }
      case 'optional':
        if (pick(2) === 1) walk(e.part);
        return;
      case 'repeat':
        for (let n = e.least + pick(3); n > 0; n--) walk(e.part);
        return;
      default:
        e satisfies never;
    }
  };
  walk(ruleOf(grammar, name).body);
  return { words, tags };
}

/** Steps of a draw among weighted options. */
const fine = 1_000_000;

function drawn(weights: readonly number[], pick: (below: number) => number): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  if (total === weights.length) return pick(weights.length);
  let left = (pick(fine) / fine) * total;
  return weights.findIndex((weight) => {
    left -= weight;
    return left < 0;
  });
}

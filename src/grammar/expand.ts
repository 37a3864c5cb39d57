import type { Expansion, Grammar } from './ast.ts';
import { ruleOf } from './link.ts';

/** One sentence of a rule with the tags met on the way. */
export interface Sentence {
  readonly words: readonly string[];
  readonly tags: readonly string[];
}

/**
 * Every sentence of a rule, lazily; a repetition is taken at most `turns` times.
 * @throws RangeError when the grammar has no such rule
 */
export function* expand(grammar: Grammar, name: string, turns = 1): Generator<Sentence> {
  yield* sentences(ruleOf(grammar, name).body);

  function* sentences(e: Expansion): Generator<Sentence> {
    switch (e.is) {
      case 'word':
        yield { words: [e.word], tags: [] };
        return;
      case 'tag':
        yield { words: [], tags: [e.text] };
        return;
      case 'rule':
        yield* sentences(ruleOf(grammar, e.name).body);
        return;
      case 'sequence':
        yield* joined(e.parts);
        return;
      case 'choice':
        for (const option of e.options) yield* sentences(option);
        return;
      case 'optional':
        yield { words: [], tags: [] };
        yield* sentences(e.part);
        return;
      case 'repeat':
        for (let n: number = e.least; n <= Math.max(turns, e.least); n++) {
          yield* joined(Array.from({ length: n }, () => e.part));
        }
        return;
      default:
        e satisfies never;
    }
  }

  function* joined(parts: readonly Expansion[]): Generator<Sentence> {
    const [first, ...rest] = parts;
    if (first === undefined) {
      yield { words: [], tags: [] };
      return;
    }
    for (const head of sentences(first)) {
      for (const tail of joined(rest)) {
        yield { words: [...head.words, ...tail.words], tags: [...head.tags, ...tail.tags] };
      }
    }
  }
}

/**
 * One sentence of a rule, its choices made by `pick(n)`, which gives a whole number below n. With a
 * random pick this samples the language; repetitions are taken `least` to `least + 2` times.
 */
export function sample(grammar: Grammar, name: string, pick: (below: number) => number): Sentence {
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
        const option = e.options[pick(e.options.length)];
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

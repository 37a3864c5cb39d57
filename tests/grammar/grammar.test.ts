import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  assemble,
  bundled,
  chain,
  compile,
  draws,
  expand,
  type Grammar,
  GrammarError,
  link,
  match,
  named,
  parse,
  print,
  reach,
  sample,
  series,
  tagsOf,
  union,
  type WordNetwork,
  weigh,
  weightOf,
} from '../../src/grammar/index.ts';
import { takes } from '../language/taking.ts';

const small = (rules: string): Grammar =>
  link([{ source: 'small.jsgf', text: `#JSGF V1.0;\ngrammar small;\n${rules}` }]);

const folder = new URL('../../grammars/en/', import.meta.url);
const files = readdirSync(folder)
  .filter((file) => file.endsWith('.jsgf'))
  .map((source) => ({ source, text: readFileSync(new URL(source, folder), 'utf8') }));

/** Tags of the reading, or undefined when the words are not a sentence. */
const tags = (grammar: Grammar, rule: string, words: string): readonly string[] | undefined => {
  const reading = match(assemble(grammar, rule), words.split(' '));
  return reading && tagsOf(reading);
};

describe('a grammar with a rule for each choice in it', () => {
  test('says what it said, as often, and tells where a choice was made', () => {
    const plain = small(
      'public <a> = [very] (open {do=open} | /3/ close {do=close}) (the | a) door;',
    );
    const detailed = named(plain);
    expect([...draws(detailed, 'small.a', 50, 3)]).toEqual([...draws(plain, 'small.a', 50, 3)]);
    expect(tags(detailed, 'small.a', 'very close the door')).toEqual(['do=close']);
    expect([...expand(detailed, 'small.a#1')].map(({ words }) => words)).toEqual([
      ['open'],
      ['close'],
    ]);
    // Nothing depends on "the" or "a".
    expect([...detailed.rules.keys()].toSorted()).toEqual(['small.a', 'small.a#1']);
  });
  test('of English: the same words, read the same', () => {
    const plain = link(files);
    const detailed = named(plain);
    const programs = [plain, detailed].map((grammar) => assemble(grammar, 'exam.open'));
    for (const words of draws(plain, 'exam.open', 200, 5)) {
      const [before, after] = programs.map((program) => match(program, words));
      expect(after && tagsOf(after)).toEqual(before && tagsOf(before));
    }
    expect([...draws(detailed, 'exam.open', 50, 5)]).toEqual([...draws(plain, 'exam.open', 50, 5)]);
  });
});

describe('reading JSGF', () => {
  // The forms are those of the Java Speech Grammar Format 1.0 (W3C Note, 5 June 2000), sections 3-4.
  test('a choice, a group, an optional part and a tag', () => {
    const grammar = small('public <a> = [please] (open {do=open} | close {do=close}) the door;');
    expect(tags(grammar, 'small.a', 'please open the door')).toEqual(['do=open']);
    expect(tags(grammar, 'small.a', 'close the door')).toEqual(['do=close']);
    expect(tags(grammar, 'small.a', 'please the door')).toBeUndefined();
  });
  test('star takes none or more, plus takes one or more', () => {
    const grammar = small('<star> = a*; <plus> = a+;');
    const star = assemble(grammar, 'small.star');
    const plus = assemble(grammar, 'small.plus');
    expect(match(star, [])).toBeDefined();
    expect(match(plus, [])).toBeUndefined();
    expect(match(star, ['a', 'a', 'a'])).toBeDefined();
    expect(match(plus, ['a', 'a', 'a'])).toBeDefined();
  });
  test('a rule written in at several places is the same steps at each', () => {
    const grammar = small('<a> = c (<b>)* [d]; <e> = <a> | (f g | <a>)+; <b> = h {x=1} | (i j)+;');
    const [alone, twice] = ['small.a', 'small.e'].map((rule) => new Set(assemble(grammar, rule)));
    expect([...(alone ?? [])].filter((step) => !twice?.has(step))).toEqual([]);
    expect(tags(grammar, 'small.e', 'f g c h i j i j h d c h')).toEqual(['x=1', 'x=1', 'x=1']);
  });
  test('comments of both kinds are passed over', () => {
    const grammar = small('// one\n<a> = b /* two */ c;');
    expect(tags(grammar, 'small.a', 'b c')).toEqual([]);
  });
  test('the first alternative wins where a sentence can be read in two ways', () => {
    const grammar = small('<a> = x {first} | x {second};');
    expect(tags(grammar, 'small.a', 'x')).toEqual(['first']);
  });
  test.each([
    ['no header', 'grammar a;', 'begins with'],
    ['an unknown rule', '#JSGF V1.0;\ngrammar a;\n<x> = <y>;', 'a.jsgf:3:7: <y> is not defined'],
    ['an empty alternative', '#JSGF V1.0;\ngrammar a;\n<x> = b | ;', 'nothing stands here'],
    ['a rule that reaches itself', '#JSGF V1.0;\ngrammar a;\n<x> = b <x>;', 'reaches itself'],
    ['a rule defined twice', '#JSGF V1.0;\ngrammar a;\n<x> = b;\n<x> = c;', 'defined twice'],
    ['a missing semicolon', '#JSGF V1.0;\ngrammar a;\n<x> = b', 'expected ";"'],
    ['a missing import', '#JSGF V1.0;\ngrammar a;\nimport <b.*>;\n<x> = c;', 'no grammar "b"'],
  ])('%s is refused with its place', (_, text, message) => {
    expect(() => link([{ source: 'a.jsgf', text }])).toThrow(GrammarError);
    expect(() => link([{ source: 'a.jsgf', text }])).toThrow(message);
  });
});

describe('printing', () => {
  const bare = (file: unknown): unknown =>
    JSON.parse(
      JSON.stringify(file, (key, value) => (key === 'at' || key === 'source' ? 0 : value)),
    );
  test.each(files)('$source reads back the same after printing', ({ source, text }) => {
    const file = parse(text, source);
    expect(bare(parse(print(file), source))).toEqual(bare(file));
  });
});

describe('networks', () => {
  const grammar = link(files);
  const rules = ['reflex.finding', 'clonus.finding', 'muscle.tone', 'context.finding'];
  test.each(rules)('%s: what the grammar says, its network and its reader both take', (rule) => {
    const program = assemble(grammar, rule);
    const network = compile(program);
    const fewer = bundled(network);
    expect(fewer.arcs.length).toBeLessThan(network.arcs.length);
    fc.assert(
      fc.property(fc.infiniteStream(fc.nat()), (stream) => {
        const { words } = sample(grammar, rule, (below) => (stream.next().value ?? 0) % below);
        expect(match(program, words)).toBeDefined();
        expect(takes(network, words)).toBe(true);
        expect(takes(fewer, words)).toBe(true);
      }),
      { numRuns: 40 },
    );
  });
  test('what a network takes, the reader takes: a walk through it at random', () => {
    const program = assemble(grammar, 'reflex.finding');
    const network = bundled(compile(program));
    const finals = new Set(network.finals);
    fc.assert(
      fc.property(fc.infiniteStream(fc.nat()), (stream) => {
        const words: string[] = [];
        let state = network.start;
        while (words.length < 40) {
          const arcs = network.arcs.filter((arc) => arc.from === state);
          const pick = (stream.next().value ?? 0) % (arcs.length + (finals.has(state) ? 1 : 0));
          const arc = arcs[pick];
          if (arc === undefined) break;
          if (arc.word !== '') words.push(arc.word);
          state = arc.to;
        }
        if (finals.has(state)) expect(match(program, words)).toBeDefined();
      }),
      { numRuns: 200 },
    );
  });
  test('words that lead on alike from several states are there once', () => {
    const program = assemble(small('<a> = b (x | y | z) | c (x | y | z | [c] v) ;'), 'small.a');
    const { arcs } = bundled(compile(program));
    for (const word of ['x', 'y', 'z']) {
      expect(arcs.filter((arc) => arc.word === word)).toHaveLength(1);
    }
    expect(arcs.filter((arc) => arc.word === '')).toHaveLength(2);
  });
  test('a network is minimal: a choice of equal tails shares them', () => {
    const network = compile(assemble(small('<a> = b x y | c x y;'), 'small.a'));
    expect(network.states).toBe(4);
    expect(network.arcs).toHaveLength(4);
  });
  test('a loop goes back by a wordless arc', () => {
    const network = compile(assemble(small('<a> = (b c)+;'), 'small.a'));
    expect(network.arcs.filter((arc) => arc.word === '')).toHaveLength(1);
    expect(takes(network, ['b', 'c', 'b', 'c'])).toBe(true);
    expect(takes(network, ['b', 'c', 'b'])).toBe(false);
  });
});

test('expanding lists every sentence once, in the order of the grammar', () => {
  const grammar = small('<a> = [not] (x {t} | y);');
  expect([...expand(grammar, 'small.a')].map(({ words }) => words.join(' '))).toEqual([
    'x',
    'y',
    'not x',
    'not y',
  ]);
});

test('how far a sentence was understood', () => {
  const program = assemble(small('<a> = one two three;'), 'small.a');
  expect(reach(program, ['one', 'two', 'four'])).toBe(2);
});

describe('weights', () => {
  test('how often just these words are said is the best way through a network', () => {
    const twice = union([
      { network: chain(['a', 'b'], -2), weight: -1 },
      { network: chain(['a', 'b'], -1), weight: -1.5 },
    ]);
    expect(weightOf(twice, ['a', 'b'])).toBe(-2.5);
    expect(weightOf(chain(['a', 'b']), ['a', 'b'])).toBe(0);
    expect(weightOf(twice, ['a'])).toBe(Number.NEGATIVE_INFINITY);
    expect(weightOf(twice, ['b'])).toBe(Number.NEGATIVE_INFINITY);
  });
  // JSGF 1.0, section 4.3.3: weights of alternatives, "more likely with a larger weight".
  const grammar = small('public <a> = /9/ (one plus) | /1/ two [plus]; <bad> = c;');
  test('are read and printed back', () => {
    const text = '#JSGF V1.0;\ngrammar w;\n<a> = /9/ one | two;\n';
    expect(print(parse(text, 'w.jsgf'))).toBe(text);
    expect(() => parse('#JSGF V1.0;\ngrammar w;\n<a> = one /2/ two;', 'w.jsgf')).toThrow(
      /w.jsgf:3:11: a weight stands before an alternative/,
    );
    expect(() => parse('#JSGF V1.0;\ngrammar w;\n<a> = /0/ one | two;', 'w.jsgf')).toThrow(
      /more than nothing/,
    );
  });
  test('a sentence weighs what its choices weigh, and all sentences together everything', () => {
    const all = [...expand(grammar, 'small.a')];
    const share = (words: string): number =>
      Math.exp(all.find((s) => s.words.join(' ') === words)?.weight ?? Number.NaN);
    expect(share('one plus')).toBeCloseTo(0.9);
    expect(share('two plus')).toBeCloseTo(0.05);
    expect(all.reduce((sum, { weight }) => sum + Math.exp(weight), 0)).toBeCloseTo(1);
  });
  test('arcs weigh how often sentences take them; what was never said is rare, not impossible', () => {
    const network = weigh(compile(assemble(grammar, 'small.a')), draws(grammar, 'small.a', 4000));
    const weight = (word: string): number =>
      Math.exp(network.arcs.find((arc) => arc.word === word)?.weight ?? Number.NaN);
    expect(weight('one')).toBeCloseTo(0.9, 1);
    const never = weigh(compile(assemble(grammar, 'small.a')), [['one', 'plus']]);
    for (const arc of never.arcs) expect(arc.weight).toBeGreaterThan(Number.NEGATIVE_INFINITY);
  });
  test('the same seed draws the same sentences', () => {
    expect([...draws(grammar, 'small.a', 20, 5)]).toEqual([...draws(grammar, 'small.a', 20, 5)]);
  });
  test('a series takes a sentence of the first and then one of the second, and nothing else', () => {
    const lead = compile(assemble(small('<lead> = [x | y z];'), 'small.lead'));
    const both = series(lead, compile(assemble(grammar, 'small.a')));
    for (const said of ['x two', 'y z one plus', 'two plus']) {
      expect(takes(both, said.split(' '))).toBe(true);
    }
    for (const said of ['x', 'y two', 'two x', 'x x two', 'x two two']) {
      expect(takes(both, said.split(' '))).toBe(false);
    }
  });
  test('a union takes what each of its parts takes, and nothing else', () => {
    const part = (rule: string): WordNetwork => compile(assemble(grammar, rule));
    const both = union([
      { network: part('small.a'), weight: -1 },
      { network: part('small.bad'), weight: -2 },
    ]);
    expect(takes(both, ['one', 'plus'])).toBe(true);
    expect(takes(both, ['c'])).toBe(true);
    expect(takes(both, ['c', 'plus'])).toBe(false);
  });
});

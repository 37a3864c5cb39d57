import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { lookUp, readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import { packagedModel } from '../../src/engines/soundswallower/node.ts';
import { draws, match, tagsOf, wordsOf } from '../../src/grammar/index.ts';
import { interpret, parseAlike, rivals } from '../../src/interpret/index.ts';
import { takes } from './taking.ts';

const language = english();
const program = language.program('exam.open');
const vocabulary = [...wordsOf(language.network('exam.open'))];
const general = lookUp(
  new Set(vocabulary),
  readFileSync(new URL('dict.txt', packagedModel()), 'utf8'),
);
const own = readPronunciations(
  readFileSync(new URL('../../grammars/en/pronunciations.dict', import.meta.url), 'utf8'),
);
const soundsOf = (word: string): readonly (readonly string[])[] =>
  (own.get(word) ?? general.get(word) ?? []).map((sounds) => sounds.split(' '));

/** Levenshtein's distance: phones put in, left out or exchanged. */
function distance(one: readonly string[], other: readonly string[]): number {
  let row = [...other.keys(), other.length];
  for (const [i, phone] of one.entries()) {
    const next = [i + 1];
    for (const [j, against] of other.entries()) {
      const exchanged = (row[j] ?? 0) + (phone === against ? 0 : 1);
      next.push(Math.min(exchanged, (row[j + 1] ?? 0) + 1, (next[j] ?? 0) + 1));
    }
    row = next;
  }
  return row.at(-1) ?? 0;
}

/** Whether two words differ in no more than a quarter of their sounds. */
const near = (one: string, other: string): boolean =>
  soundsOf(one).some((a) =>
    soundsOf(other).some((b) => {
      const most = Math.max(a.length, b.length) / 4;
      return Math.abs(a.length - b.length) <= most && distance(a, b) <= most;
    }),
  );
const onePlural = (one: string, other: string): boolean =>
  [one, other].some((word) => [`${one}s`, `${one}es`, `${other}s`, `${other}es`].includes(word));

test('no word that sounds like another makes another finding of a sentence unweighed', () => {
  const nearTo = new Map(
    vocabulary.map((word) => [
      word,
      vocabulary.filter((other) => other !== word && near(word, other) && !onePlural(word, other)),
    ]),
  );
  expect(nearTo.get('dysphagia')).toEqual(['dysphasia']);
  const missing: string[] = [];
  let weighed = 0;
  const kinds = [...language.grammar.rules.values()].filter(
    ({ name, isPublic }) => isPublic && name.endsWith('.finding'),
  );
  expect(kinds.length).toBeGreaterThan(5);
  for (const words of kinds.flatMap(({ name }) => [...draws(language.grammar, name, 400, 11)])) {
    const reading = match(program, words);
    if (reading === undefined || words.length > 12) continue;
    let net: ReturnType<typeof rivals>;
    for (const [at, word] of words.entries()) {
      for (const other of nearTo.get(word) ?? []) {
        const changed = words.with(at, other);
        const read = match(program, changed);
        if (read === undefined || tagsOf(read).join() === tagsOf(reading).join()) continue;
        const meaning = interpret(language, changed);
        if (meaning.is !== 'findings' || meaning.questions.length > 0) continue;
        net ??= rivals(language, 'exam.open', words);
        weighed += 1;
        if (!takes(net, changed)) missing.push(`${words.join(' ')} → ${changed.join(' ')}`);
      }
    }
  }
  expect(weighed).toBeGreaterThan(20);
  expect(missing).toEqual([]);
}, 120_000);

test('what is seldom said is heard with more against it, its likelier twin is not', () => {
  const against = (said: string, at: number, other: string): readonly number[] =>
    (rivals(language, 'exam.open', said.split(' '))?.arcs ?? []).flatMap(
      ({ from, word, weight = 0 }) => (from === at && word === other ? [weight] : []),
    );
  expect(against('left shoulder adduction five', 2, 'abduction')).toEqual([4]);
  expect(against('left shoulder abduction five', 2, 'adduction')).toEqual([0]);
});

test('what one phone alone tells apart wants a clearer lead, either way', () => {
  for (const [said, other] of [
    ['inversion', 'eversion'],
    ['eversion', 'inversion'],
  ] as const) {
    const arcs = rivals(language, 'exam.open', ['left', 'ankle', said, 'five'])?.arcs ?? [];
    const weights = arcs.flatMap(({ from, word, weight = 0 }) =>
      from === 2 && word === other ? [weight] : [],
    );
    expect(Math.max(...weights)).toBe(3);
  }
});

describe('the file of words that sound alike', () => {
  test('goes either way round, and "-" is no word', () => {
    const alike = parseAlike('# pairs\none two\nno - 3  # lost\n', 'alike.txt');
    expect([...alike]).toEqual([
      ['one', [{ word: 'two', nats: 0 }]],
      ['two', [{ word: 'one', nats: 0 }]],
      ['no', [{ word: '', nats: 3 }]],
      ['', [{ word: 'no', nats: 0 }]],
    ]);
  });
  test.each(['one', 'one two three', 'one two 3 4', 'one two -1', 'one two -'])(
    '"%s" is refused with its line',
    (line) => {
      expect(() => parseAlike(`a b\n${line}`, 'alike.txt')).toThrow('alike.txt:2: ');
    },
  );
  test('holds words of the grammar only', () => {
    const all = [...language.alike.keys()].filter((word) => word !== '');
    expect(all.filter((word) => !vocabulary.includes(word))).toEqual([]);
  });
});

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test, vi } from 'vitest';
import { startLocalizer } from '../../src/localize/index.ts';
import { rankIn } from '../bench/localize.ts';
import { accepts, type Case, readCases } from './caseText.ts';
import { byLookUp, byNaiveBayes } from './textbook.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

const folder = new URL('./cases/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.txt'));

describe.each(files)('%s', (name) => {
  const cases = readCases(readFileSync(new URL(name, folder), 'utf8'), name);
  const ranks = cases.map((one) => {
    const { hypotheses } = startLocalizer().add(one.findings).ranking(3);
    return { ...one, rank: hypotheses.findIndex((h) => accepts(one.accept, h)) };
  });
  const strict = ranks.filter((one) => one.strict);

  test('at least nine in ten strict cases are answered first', () => {
    const missed = strict.filter(({ rank }) => rank !== 0).map(({ id }) => id);
    expect(missed.length / strict.length, missed.join(', ')).toBeLessThanOrEqual(0.1);
  });

  test('at least 98 in a hundred are among the first three', () => {
    const missed = strict.filter(({ rank }) => rank < 0).map(({ id }) => id);
    expect(missed.length / strict.length, missed.join(', ')).toBeLessThanOrEqual(0.02);
  });
});

test('more strict cases are answered first than by naive Bayes or by look-up in the same lists', () => {
  const strict = files
    .flatMap((name) => readCases(readFileSync(new URL(name, folder), 'utf8'), name))
    .filter((one) => one.strict);
  const first = (ranked: (one: Case) => number): number =>
    strict.filter((one) => ranked(one) === 0).length / strict.length;
  const ours = first((one) =>
    startLocalizer()
      .add(one.findings)
      .ranking(1)
      .hypotheses.findIndex((h) => accepts(one.accept, h)),
  );
  expect(ours).toBeGreaterThan(0.1 + first((one) => rankIn(one, byNaiveBayes(one.findings))));
  expect(ours).toBeGreaterThan(0.1 + first((one) => rankIn(one, byLookUp(one.findings))));
});

test('a case that cannot be read names its line', () => {
  expect(() => readCases('case a\naccept root:L5 left\nstrength left: elbow 4', 'x.txt')).toThrow(
    /x\.txt:3/,
  );
});

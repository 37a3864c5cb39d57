import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test, vi } from 'vitest';
import { startLocalizer } from '../../src/localize/index.ts';
import { accepts, readCases } from './caseText.ts';

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

test('a case that cannot be read names its line', () => {
  expect(() => readCases('case a\naccept root:L5 left\nstrength left: elbow 4', 'x.txt')).toThrow(
    /x\.txt:3/,
  );
});

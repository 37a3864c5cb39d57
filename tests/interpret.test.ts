import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { english } from '../src/app/language.ts';
import { checkFinding, type Finding } from '../src/exam/index.ts';
import { type Context, interpret } from '../src/interpret/index.ts';

const language = english();
const folder = new URL('../grammars/en/cases/', import.meta.url);
const lines = (file: string): readonly string[] =>
  readFileSync(new URL(file, folder), 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '' && !line.startsWith('#'));

/** A finding in the cases' short form. */
function short(finding: Finding): string {
  const modality = finding.kind === 'sensation' ? `/${finding.modality}` : '';
  const how =
    finding.kind === 'reflex' ? (finding.qualifiers ?? []).map((q) => ` +${q}`).join('') : '';
  const beats =
    finding.kind === 'clonus' && finding.beats !== undefined ? ` x${finding.beats}` : '';
  return `${finding.kind} ${finding.site} ${finding.side} ${finding.value}${modality}${how}${beats}`;
}

function meant(text: string, context: Context = {}): string {
  const meaning = interpret(language, language.words(text), context);
  switch (meaning.is) {
    case 'nothing':
      return 'ignored';
    case 'command':
      return `! ${meaning.command}`;
    case 'findings':
      return [
        ...meaning.findings.map(short),
        ...meaning.questions.map(({ missing }) => `? ${missing.slot}`),
      ].join('; ');
  }
}

/** Findings of one utterance have no order among themselves. */
const sorted = (list: string): readonly string[] => list.split(/;\s*/).sort();

for (const file of ['reflexes.txt', 'motor.txt', 'sensory-and-rest.txt', 'records.txt']) {
  describe(file, () => {
    test.each(lines(file).map((line) => line.split(/\s*==>\s*/)))(
      '%s',
      (said = '', wanted = '') => {
        expect(sorted(meant(said))).toEqual(sorted(wanted));
      },
    );
  });
}

describe('attention.txt', () => {
  const cases = lines('attention.txt').map((line) => line.split(/\s*==>\s*/));
  test.each(cases)('%s', (said = '', wanted = '') => {
    expect(sorted(meant(said, { attention: 'plessor' }))).toEqual(sorted(wanted));
  });
  test('what begins with the word means what the rest of it means without one', () => {
    const called = cases.filter(([, wanted]) => wanted !== 'ignored').map(([said = '']) => said);
    expect(called.length).toBeGreaterThan(5);
    for (const said of called) {
      const rest = said.replace(/^(hello )?plessor /, '');
      expect(meant(said, { attention: 'plessor' })).toBe(meant(rest));
      // And nothing at all to those who chose no word.
      expect(meant(said)).toBe('ignored');
    }
  });
});

describe('what must not be understood', () => {
  test.each(lines('misses.txt'))('%s', (said) => {
    expect(meant(said)).toBe('ignored');
  });
});

test('there are enough cases of either sort to speak of', () => {
  const cases = ['reflexes.txt', 'motor.txt', 'sensory-and-rest.txt', 'records.txt'].flatMap(lines);
  expect(cases.length).toBeGreaterThanOrEqual(150);
  expect(lines('misses.txt').length).toBeGreaterThanOrEqual(80);
});

test('every finding that a case gives is one the vocabulary knows', () => {
  for (const line of ['reflexes.txt', 'motor.txt', 'sensory-and-rest.txt', 'records.txt'].flatMap(
    lines,
  )) {
    const meaning = interpret(language, language.words(line.split('==>')[0] ?? ''));
    if (meaning.is !== 'findings') continue;
    for (const finding of meaning.findings) expect(checkFinding(finding).ok).toBe(true);
  }
});

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { contextOf, type Dialogue, type Effect, start, step } from '../../src/dialogue/index.ts';
import {
  type Entry,
  type Kind,
  mirror,
  ms,
  standingFindings,
  stands,
} from '../../src/exam/index.ts';
import { interpret, ruleFor } from '../../src/interpret/index.ts';

const language = english();

/** Says one utterance to a dialogue. */
function say(state: Dialogue, text: string, at: number, certainty: 'sure' | 'unsure' = 'sure') {
  const meaning = interpret(language, language.words(text), contextOf(state));
  return step(state, { type: 'heard', at: ms(at), hearing: { words: text }, meaning, certainty });
}

const shown = ({ standing, finding }: Entry): string =>
  `${standing.is === 'confirmed' ? 'c' : 'o'} ${finding.kind} ${finding.site} ${finding.side} ${finding.value}`;

const conversations = readFileSync(new URL('./dialogues.txt', import.meta.url), 'utf8')
  .split(/\n\s*\n/)
  .map((block) => block.split('\n').filter((line) => line !== ''))
  .map((lines) => ({
    title: lines.findLast((line) => line.startsWith('#'))?.slice(2) ?? '',
    lines: lines.filter((line) => !line.startsWith('#')),
  }))
  .filter(({ lines }) => lines.length > 0);

describe('conversations', () => {
  test.each(conversations)('$title', ({ lines }) => {
    let state = step(start, { type: 'began', at: ms(0), plan: 'reflexes' }).state;
    let said: readonly string[] = [];
    let at = 1;
    for (let i = 0; i < lines.length; i++) {
      const line = lines[i] ?? '';
      if (line.startsWith('E')) {
        const done = say(state, line.slice(3), at++, line.startsWith('E~') ? 'unsure' : 'sure');
        state = done.state;
        said = done.effects.flatMap((effect) => (effect.type === 'say' ? [effect.text] : []));
      } else if (line.startsWith('A')) {
        const [kind = '', site = ''] = line.slice(3).split(' ');
        state = step(state, { type: 'prompted', item: { kind: kind as Kind, site } }).state;
      } else if (line.startsWith('W')) {
        state = step(state, { type: 'attention', word: line.slice(3) }).state;
      } else if (line.startsWith('P')) {
        expect(said.join(' ')).toContain(line.slice(3));
      } else {
        const wanted: string[] = [];
        while (lines[i]?.startsWith('=')) wanted.push((lines[i++] ?? '').slice(1).trim());
        i -= 1;
        const standing = state.record.entries.filter(stands).map(shown);
        expect(standing).toEqual(wanted.filter((entry) => entry !== ''));
      }
    }
  });
});

const utterances = [
  'right patellar three plus left two plus',
  'left biceps reflex absent',
  'right plantar extensor',
  'left ankle dorsiflexion four minus',
  'biceps two plus on both sides',
  'correction left three plus',
  'affirm',
  'disregard',
  'pinprick reduced over the left l five dermatome',
  'patellar three plus',
] as const;

test('undo is the inverse of any utterance', () => {
  fc.assert(
    fc.property(
      fc.array(fc.constantFrom(...utterances), { minLength: 1, maxLength: 8 }),
      (said) => {
        let state = start;
        let before = start;
        for (const [i, text] of said.entries()) {
          before = state;
          state = say(state, text, i + 1).state;
        }
        if (state.record.events.length === before.record.events.length) return;
        const undone = say({ ...state, asked: [] }, 'undo', 99).state;
        expect(standingFindings(undone.record)).toEqual(standingFindings(before.record));
      },
    ),
    { numRuns: 60 },
  );
});

test('an exam said with left and right exchanged gives the mirrored record', () => {
  const exchanged = (text: string): string =>
    text.replace(/left|right/g, (side) => (side === 'left' ? 'right' : 'left'));
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...utterances), { maxLength: 8 }), (said) => {
      const run = (texts: readonly string[]): Dialogue =>
        texts.reduce((state, text, i) => say(state, text, i + 1).state, start);
      const plain = standingFindings(run(said).record).map((f) => ({ ...f, side: mirror(f.side) }));
      const mirrored = standingFindings(run(said.map(exchanged)).record);
      const order = (list: readonly unknown[]) => list.map((f) => JSON.stringify(f)).sort();
      expect(order(mirrored)).toEqual(order(plain));
    }),
    { numRuns: 60 },
  );
});

test('everything recorded is kept before it is said', () => {
  const { effects } = say(start, 'right patellar three plus', 1);
  const kinds = effects.map((effect: Effect) => effect.type);
  expect(kinds.indexOf('keep')).toBeGreaterThanOrEqual(0);
  expect(kinds.indexOf('keep')).toBeLessThan(kinds.indexOf('say'));
});

test('standing by, only "go on" is listened for, and then all again', () => {
  const began = say(start, 'stand by', 1).state;
  expect(ruleFor(contextOf(began))).toBe('exam.standing-by');
  expect(language.network('exam.standing-by').arcs.map(({ word }) => word)).not.toContain('right');
  const on = say(began, 'go on', 2).state;
  expect(ruleFor(contextOf(on))).toBe('exam.open');
});

describe('every state has its rule where a word calls for attention', () => {
  const called = (state: Dialogue): string =>
    ruleFor(contextOf(step(state, { type: 'attention', word: 'plessor' }).state));
  const once = (...said: readonly string[]): Dialogue =>
    said.reduce((state, text, i) => say(state, text, i + 1).state, start);
  test.each([
    ['open', once(), 'exam.attending'],
    ['standing by', once('stand by'), 'exam.attending-standing-by'],
    ['a side is asked for', once('patellar three plus'), 'exam.attending-asked-side'],
    [
      'a doubt is asked about',
      say(start, 'right patellar three plus', 1, 'unsure').state,
      'exam.attending-whether',
    ],
  ] as const)('%s', (_name, state, rule) => {
    expect(called(state)).toBe(rule);
    const words = new Set(language.network(rule).arcs.map(({ word }) => word));
    expect(words).toContain('plessor');
    // What is not called by it is listened to as well, so that it is not taken for a call.
    expect(words).toContain(rule.endsWith('standing-by') ? 'continue' : 'right');
  });
  test('and the grammar has one for each that it has without', () => {
    const names = [...language.grammar.rules.keys()].filter((name) => name.startsWith('exam.'));
    const asked = names.filter((name) => name.startsWith('exam.asked-'));
    expect(asked.length).toBeGreaterThan(10);
    for (const name of asked) expect(names).toContain(name.replace('asked', 'attending-asked'));
  });
});

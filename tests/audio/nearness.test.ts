import { describe, expect, test } from 'vitest';
import { createLevels } from '../../src/audio/endpoint.ts';
import { createNearness } from '../../src/audio/nearness.ts';
import { type HeardWord, joined, type Sound } from '../../src/ports.ts';

const quarter = 250;

/** A tone of so many dB under full scale. */
const tone = (db: number, ms: number): Sound =>
  Float32Array.from({ length: ms * 16 }, (_, i) => 10 ** (db / 20) * Math.sin(i / 3));

/** Words one after the other, each as loud and as long as told. */
function said(...words: readonly (readonly [db: number, ms: number])[]) {
  let at = 0;
  const placed = words.map(([, ms], i): HeardWord => {
    const startMs = at;
    at += ms;
    return { word: `w${i}`, startMs, endMs: at };
  });
  return { placed, sound: joined(words.map(([db, ms]) => tone(db, ms))) };
}

/** Each utterance's faintness; all are examination speech. */
function faintness(...utterances: readonly ReturnType<typeof said>[]): readonly number[] {
  const nearness = createNearness();
  return utterances.map(({ placed, sound }) => {
    nearness.begin();
    nearness.take(createLevels().of(sound));
    const faint = nearness.faint(placed);
    nearness.learn(placed);
    return faint;
  });
}

const even = said([-20, quarter], [-21, quarter], [-19, quarter], [-22, quarter]);
const fainter = (db: number) => said([-20 - db, quarter], [-20 - db, quarter]);

describe('within an utterance', () => {
  test('words about as loud as one another are no fainter than they are', () => {
    const [faint] = faintness(even);
    expect(faint).toBeLessThan(5);
  });
  // The level follows for some 30 ms after a loud word.
  test.each([
    ['at its end', said([-20, quarter], [-20, quarter], [-36, 300], [-36, 300])],
    ['at its beginning', said([-36, quarter], [-36, quarter], [-20, quarter], [-20, quarter])],
    ['in its midst', said([-20, quarter], [-36, 300], [-36, 300], [-20, quarter])],
  ])('words 16 dB fainter %s are', (_where, utterance) => {
    const [faint] = faintness(utterance);
    expect(faint).toBeGreaterThan(12);
    expect(faint).toBeLessThan(17);
  });
  test('one short word that is faint by itself is not counted', () => {
    const [faint] = faintness(said([-20, quarter], [-36, 90], [-20, quarter], [-20, quarter]));
    expect(faint).toBeLessThan(5);
  });
});

describe('beside what is usual', () => {
  test('the first utterance is measured by itself alone', () => {
    expect(faintness(fainter(30))[0]).toBeLessThan(5);
  });
  test('one far fainter than those before is, one a little fainter is not, a louder one is not', () => {
    const [, , soft, far, loud] = faintness(even, even, fainter(5), fainter(16), fainter(-10));
    expect(soft).toBeLessThan(8);
    expect(far).toBeGreaterThan(12);
    expect(loud).toBeLessThan(5);
  });
  test('whoever goes on from farther away is usual after some utterances', () => {
    const before = Array.from({ length: 9 }, () => even);
    const after = Array.from({ length: 9 }, () => fainter(16));
    const all = faintness(...before, ...after);
    expect(all[9]).toBeGreaterThan(12);
    expect(all[10]).toBeGreaterThan(12);
    expect(all.at(-1)).toBeLessThan(5);
  });
  test('two faint ones among others change nothing of it', () => {
    const all = faintness(even, even, even, fainter(16), fainter(16), fainter(16));
    expect(all.at(-1)).toBeGreaterThan(12);
  });
});

test('words of which nobody knows when they were said are not measured', () => {
  const placed = ['right', 'two'].map((word) => ({ word, startMs: 0, endMs: 0 }));
  const sound = said([-20, quarter], [-60, quarter]).sound;
  expect(faintness({ placed, sound }, { placed: [], sound })).toEqual([0, 0]);
});

test('silence is no failure', () => {
  const { placed } = even;
  const sound = new Float32Array(16_000);
  const [faint] = faintness({ placed, sound });
  expect(faint).toBe(0);
});

/** How far these words are over rooms of so many dB before and after them. */
function overRoom({ placed, sound }: ReturnType<typeof said>, before: number, after: number) {
  const nearness = createNearness();
  const lead = 350;
  nearness.begin();
  nearness.take(createLevels().of(joined([tone(before, lead), sound, tone(after, 300)])));
  const later = placed.map(({ word, startMs, endMs }) => ({
    word,
    startMs: startMs + lead,
    endMs: endMs + lead,
  }));
  return { words: nearness.overRoom(later), none: nearness.overRoom([]) };
}

test.each([
  ['quiet', -60, -60, 36, 44],
  ['loud', -34, -34, 10, 18],
  ['that grows loud', -60, -34, 10, 18],
  ['that grows quiet', -34, -60, 10, 18],
])('words of -20 dB in a room %s are so far over it', (_room, before, after, least, most) => {
  const over = overRoom(even, before, after);
  expect(over.words).toBeGreaterThan(least);
  expect(over.words).toBeLessThan(most);
  // Of words that nobody placed nothing is known.
  expect(over.none).not.toBeLessThan(0);
});

import { expect, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { understand } from '../../src/app/understanding.ts';
import { spokenLanguage } from '../../src/cli/language.ts';
import type { Path, Recogniser } from '../../src/ports.ts';

const language = spokenLanguage();
const path = (text: string, score: number): Path => ({
  words: text.split(' ').map((word) => ({ word, startMs: 0, endMs: 0 })),
  score,
});

/** What is understood when the sound was first taken for `first`, and hearing again gave these pairs. */
async function decided(first: string, again: readonly (readonly [Path, Path])[]) {
  const left = [...again];
  const recogniser = {
    finish: async () => ({ best: path(first, 100), anySpeech: 0, frames: 100 }),
    reconsider: async () => left.shift() ?? [],
  } as unknown as Recogniser;
  const { words, certainty } = await understand(
    recogniser,
    { language, calibration: calibrations.both },
    'exam.open',
  );
  return { words: words.join(' '), certainty };
}

const two = 'right patellar two plus';
const three = 'right patellar three plus';
const four = 'right patellar four plus';

test('what is better than the first hearing is taken where nothing is near it either', async () => {
  const heard = await decided(two, [
    [path(two, 0), path(three, 30)],
    [path(three, 30), path(two, 0)],
  ]);
  expect(heard).toEqual({ words: three, certainty: 'sure' });
});

test('what is better than the first hearing, but hardly better than a third, is asked about', async () => {
  const heard = await decided(two, [
    [path(two, 0), path(three, 30)],
    [path(three, 30), path(four, 29)],
  ]);
  expect(heard).toEqual({ words: three, certainty: 'unsure' });
});

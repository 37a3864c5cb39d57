import { describe, expect, test } from 'vitest';
import { speaker } from '../../demo-audio-scripts/index.ts';
import { Fourier } from '../../src/engines/fourier.ts';
import { withoutReverberation } from '../../src/engines/reverberation.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import type { FliteVoice } from '../../src/voice/index.ts';
import { heardThrough, impulseResponse } from '../bench/room.ts';
import { random } from '../localize/simulate.ts';

const flite = fliteInNode();
const spoken = (text: string, voice: FliteVoice) => speaker(flite, { voice })(text);
const level = (sound: Float32Array): number =>
  Math.sqrt(sound.reduce((sum, x) => sum + x * x, 0) / sound.length);
/** dB of one sound over the other. */
const over = (one: Float32Array, other: Float32Array): number =>
  20 * Math.log10(level(one) / level(other));

describe('the transform', () => {
  // Against its definition: X(k) = sum of x(n) exp(-2 pi i k n / N).
  test('is that of its definition, and goes back', () => {
    const n = 16;
    const x = Float64Array.from({ length: n }, (_, i) => Math.sin(i * i) + 0.3 * i);
    const [re, im] = [x.slice(), new Float64Array(n)];
    const fourier = new Fourier(n);
    fourier.transform(re, im);
    for (let k = 0; k < n; k++) {
      const turn = (i: number): number => (-2 * Math.PI * k * i) / n;
      expect(re[k]).toBeCloseTo(
        x.reduce((sum, v, i) => sum + v * Math.cos(turn(i)), 0),
        9,
      );
      expect(im[k]).toBeCloseTo(
        x.reduce((sum, v, i) => sum + v * Math.sin(turn(i)), 0),
        9,
      );
    }
    fourier.transform(im, re);
    for (let i = 0; i < n; i++) expect((re[i] ?? 0) / n).toBeCloseTo(x[i] ?? 0, 9);
  });
});

describe('what the room gave back', () => {
  const ward = { size: [6, 5, 3], reverberation: 0.6 } as const;

  test.each([
    ['at its end', 48_000, 40_000],
    // Two pieces of 8 s: the second is foretold from the end of the first.
    ['where two pieces of it meet', 16 * 16_000, 8 * 16_000],
  ])('of an echo most is taken, and what it was made of is left: %s', (_where, length, at) => {
    const next = random(1);
    const said = Float32Array.from({ length }, () => 0.1 * (next() - 0.5));
    const echoed = said.slice();
    for (let i = 640; i < echoed.length; i++) {
      echoed[i] = (said[i] ?? 0) + 0.7 * (echoed[i - 640] ?? 0);
    }
    const dry = withoutReverberation(echoed);
    const less = (from: number, to: number): number =>
      over(
        echoed.map((x, i) => x - (said[i] ?? 0)).slice(from, to),
        dry.map((x, i) => x - (said[i] ?? 0)).slice(from, to),
      );
    expect(less(0, length)).toBeGreaterThan(5);
    expect(less(at, at + 1600)).toBeGreaterThan(5);
  });

  test('where there was no room, hardly anything is taken', async () => {
    const said = await spoken('right patellar three plus, left two plus', 'rms');
    const dry = withoutReverberation(said);
    const taken = said.map((x, i) => x - (dry[i] ?? 0));
    expect(over(said, taken)).toBeGreaterThan(8);
  });

  test('is told apart at any loudness', async () => {
    const said = await spoken('tone normal', 'slt');
    const room = heardThrough(said, impulseResponse(ward, 2)).slice(0, said.length);
    const dry = withoutReverberation(room);
    const faint = withoutReverberation(room.map((x) => x * 0.01));
    const apart = faint.map((x, i) => x * 100 - (dry[i] ?? 0));
    expect(over(dry, apart)).toBeGreaterThan(40);
  });

  test.each([0, 1, 511, 3000])('of %i samples there is nothing to tell', (length) => {
    const sound = Float32Array.from({ length }, (_, i) => Math.sin(i));
    expect(withoutReverberation(sound)).toEqual(sound);
  });

  test('of silence is silence', () => {
    expect(withoutReverberation(new Float32Array(20_000)).every((x) => x === 0)).toBe(true);
  });

  test('of sound longer than a piece is as long, without a seam', async () => {
    const said = await spoken('right patellar three plus, left two plus', 'rms');
    const long = Float32Array.from({ length: 16 * 16_000 }, (_, i) => said[i % said.length] ?? 0);
    const dry = withoutReverberation(long);
    expect(dry.length).toBe(long.length);
    const at = long.length / 2;
    const steps = (sound: Float32Array, from: number, to: number): number =>
      sound
        .subarray(from, to)
        .reduce((most, x, i) => Math.max(most, Math.abs((sound[from + i + 1] ?? 0) - x)), 0);
    expect(steps(dry, at - 5, at + 5)).toBeLessThan(steps(dry, 0, dry.length - 1));
  });
});

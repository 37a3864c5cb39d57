import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createResampler } from '../../src/audio/resample.ts';

const rates = [8000, 11_025, 12_000, 22_050, 24_000, 32_000, 44_100, 48_000, 88_200, 96_000];

function resampled(samples: Float32Array, rate: number, size = samples.length): Float32Array {
  const resampler = createResampler(rate);
  const out: number[] = [];
  for (let at = 0; at < samples.length; at += size) {
    out.push(...resampler.push(samples.slice(at, at + size)));
  }
  out.push(...resampler.flush());
  return Float32Array.from(out);
}

const tone = (hz: number, rate: number, seconds = 0.5): Float32Array =>
  Float32Array.from({ length: rate * seconds }, (_, i) => Math.sin((2 * Math.PI * hz * i) / rate));

/** Level of the middle of a sound against a full sine, dB. */
function level(sound: Float32Array): number {
  const middle = sound.subarray(sound.length >> 2, (sound.length * 3) >> 2);
  return 10 * Math.log10((2 * middle.reduce((sum, x) => sum + x * x, 0)) / middle.length + 1e-20);
}

// Telephone speech ends at 3.4 kHz (ITU-T G.712), the wide band at 7 kHz (ITU-T G.722).
test('speech passes unchanged: within 0.1 dB up to 7 kHz, or 0.85 of what the file holds', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...rates),
      fc.double({ min: 0.02, max: 1, noNaN: true }),
      (rate, part) => {
        const hz = 50 + part * (Math.min(7000, 0.425 * rate) - 50);
        expect(Math.abs(level(resampled(tone(hz, rate), rate)))).toBeLessThan(0.1);
      },
    ),
    { numRuns: 60 },
  );
});

test('what cannot be held at 16 kHz does not fold back into speech: 60 dB down from 9 kHz on', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...rates.filter((rate) => rate > 20_000)),
      fc.double({ min: 0, max: 0.98, noNaN: true }),
      (rate, part) => {
        const hz = 9000 + part * (rate / 2 - 9000);
        expect(level(resampled(tone(hz, rate), rate))).toBeLessThan(-60);
      },
    ),
    { numRuns: 60 },
  );
});

test('from 8 kHz nothing new appears above 4 kHz', () => {
  const sound = resampled(tone(3000, 8000), 8000);
  const middle = sound.subarray(2000, 6000);
  // The image of 3 kHz would lie at 5 kHz.
  const [re, im] = [Math.cos, Math.sin].map((wave) =>
    middle.reduce((sum, x, i) => sum + x * wave((2 * Math.PI * 5000 * i) / 16_000), 0),
  );
  const image = (2 * Math.hypot(re ?? 9, im ?? 9)) / middle.length;
  expect(20 * Math.log10(image)).toBeLessThan(-60);
});

test('the pieces it comes in make no difference, and no time is lost', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...rates),
      fc.integer({ min: 1, max: 3000 }),
      fc.integer({ min: 1, max: 12_000 }),
      (rate, size, length) => {
        const samples = tone(440, rate, 0.3).subarray(0, length);
        const whole = resampled(samples, rate);
        expect(resampled(samples, rate, size)).toEqual(whole);
        expect(Math.abs(whole.length - (samples.length * 16_000) / rate)).toBeLessThanOrEqual(2);
      },
    ),
    { numRuns: 40 },
  );
});

test('a click stays where it was', () => {
  for (const rate of rates) {
    const samples = new Float32Array(rate / 2);
    samples[Math.round(rate / 4)] = 1;
    const sound = resampled(samples, rate);
    const peak = sound.indexOf(Math.max(...sound));
    expect(Math.abs(peak - 4000)).toBeLessThanOrEqual(1);
  }
});

test.each([0, -8000, 3999.5, Number.NaN, 1e7])('%d Hz is refused', (rate) => {
  expect(() => createResampler(rate)).toThrow(RangeError);
});

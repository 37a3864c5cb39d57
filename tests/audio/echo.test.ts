import { describe, expect, test } from 'vitest';
import { createEcho } from '../../src/audio/echo.ts';
import { createLevels, frameSamples } from '../../src/audio/endpoint.ts';
import { type Sound, soundRate } from '../../src/ports.ts';
import { random } from '../localize/simulate.ts';
import { echoing } from './room.ts';

const fallOf = (...pieces: readonly Sound[]): number => {
  const echo = createEcho();
  const levels = createLevels();
  echo.begin();
  for (const piece of pieces) echo.take(levels.of(piece));
  return echo.fall();
};

const next = random(3);
/** A hiss of a third of a second, in which all notes are, and quiet after it. */
const word = Float32Array.from(
  { length: soundRate },
  (_, i) => (next() - 0.5) * (i < soundRate / 3 ? 0.6 : 1e-5),
);

describe('how fast a word falls', () => {
  // ISO 3382-1 defines a room's reverberation time: in it sound falls by 60 dB, evenly.
  test.each([0.3, 0.5, 0.8, 1.2])('in a room of %s s, as that room does', (seconds) => {
    const fall = fallOf(echoing(word, seconds));
    // What is left is looked at 120 to 170 ms later.
    expect(fall).toBeGreaterThan((60 / seconds) * 0.12 - 1.5);
    expect(fall).toBeLessThan((60 / seconds) * 0.17 + 3);
  });
  test('without a room at once', () => {
    expect(fallOf(word)).toBeGreaterThan(60);
  });
  test('as loud as it may be', () => {
    const sound = echoing(word, 0.8);
    expect(fallOf(sound.map((sample) => sample / 30))).toBeCloseTo(fallOf(sound), 1);
  });
  test('in whatever pieces it comes', () => {
    const sound = echoing(word, 0.5);
    const at = 37 * frameSamples;
    expect(fallOf(sound.subarray(0, at), sound.subarray(at))).toBe(fallOf(sound));
  });
  test('a few clicks, which are over at once, do not hide it', () => {
    const echo = createEcho();
    const clicks = [40, 80, 120];
    echo.take(Array.from({ length: 200 }, (_, i) => (clicks.includes(i) ? 0 : -i / 20)));
    expect(echo.fall()).toBeLessThan(2);
  });
  test('of hardly any sound nobody knows', () => {
    expect(fallOf()).toBe(Number.POSITIVE_INFINITY);
    expect(fallOf(word.subarray(0, 10 * frameSamples))).toBe(Number.POSITIVE_INFINITY);
  });
});

import { expect, test } from 'vitest';
import { createGapFinder } from '../../src/audio/gap.ts';

const rate = 16_000;
const piece = 480;

/** Sound that comes in pieces of 30 ms with these events; gives what was found missing. */
function found(
  pieces: number,
  on: (i: number, stream: { at: number; now: number; wait: number }) => void,
  drift = 0,
): readonly number[] {
  const finder = createGapFinder(rate);
  const gaps: number[] = [];
  const stream = { at: 0, now: 5000, wait: 0 };
  for (let i = 0; i < pieces; i++) {
    on(i, stream);
    const jitter = 6 * Math.sin(i * i);
    const arrives = Math.max(stream.now + jitter, stream.wait);
    const gap = finder.take(stream.at, piece, arrives);
    if (gap > 0) gaps.push(Math.round(gap));
    stream.at += piece;
    stream.now += 30 * (1 + drift);
  }
  return gaps;
}

test('sound without a hole has none, for an hour, with two clocks 200 ppm apart', () => {
  expect(found(120_000, () => {}, 2e-4)).toEqual([]);
  expect(found(120_000, () => {}, -2e-4)).toEqual([]);
});

test('frames that are missing are told with their length', () => {
  const gaps = found(1000, (i, stream) => {
    if (i === 500) {
      stream.at += 1600;
      stream.now += 100;
    }
  });
  expect(gaps).toEqual([100]);
});

test('frames that are missing while the sound system starts are none, a second later they are', () => {
  const skipping = (at: number) =>
    found(1000, (i, stream) => {
      if (i !== at) return;
      stream.at += 1792;
      stream.now += 112;
    });
  expect(skipping(1)).toEqual([]);
  expect(skipping(33)).toEqual([112]);
});

test('sound that was dropped before it was numbered is told, once', () => {
  const gaps = found(1000, (i, stream) => {
    if (i === 500) stream.now += 400;
  });
  expect(gaps).toHaveLength(1);
  expect(gaps[0]).toBeGreaterThan(380);
  expect(gaps[0]).toBeLessThan(420);
});

test('sound that comes late and all at once after the page was busy is no gap', () => {
  const gaps = found(1000, (i, stream) => {
    if (i === 500) stream.wait = stream.now + 2000;
    if (i === 700) stream.wait = stream.now + 8000;
  });
  expect(gaps).toEqual([]);
  // Nor is sound that was slow for a second and caught up.
  const slow = found(1000, (i, stream) => {
    if (i > 500 && i < 533) stream.wait = stream.now + 300;
  });
  expect(slow).toEqual([]);
});

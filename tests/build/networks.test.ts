import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { networks } from '../../src/app/networks.ts';
import { pack, unpack } from '../../src/app/packed.ts';

const made = networks();

test('networks come back from bytes as they were, weights to a thousandth', () => {
  const back = unpack(pack(made));
  expect([...back.keys()]).toEqual([...made.keys()]);
  for (const [rule, network] of made) {
    const { arcs, ...rest } = back.get(rule) ?? { arcs: [] };
    const { arcs: wanted, ...own } = network;
    expect(rest).toEqual(own);
    expect(arcs.length).toBe(wanted.length);
    const off = arcs.filter((arc, i) => {
      const { from, to, word, weight = 0 } = wanted[i] ?? { from: -1, to: -1, word: '' };
      const far = Math.abs((arc.weight ?? 0) - weight) > 0.0006;
      return arc.from !== from || arc.to !== to || arc.word !== word || far;
    });
    expect(off).toEqual([]);
  }
});

test('the build ships the networks of the grammar as it now stands', () => {
  const shipped = readFileSync(new URL('../../dist/networks.bin', import.meta.url));
  expect(Buffer.from(pack(made)).equals(shipped)).toBe(true);
});

test('what is no packed networks is refused', () => {
  expect(() => unpack(new TextEncoder().encode('<!doctype html>'))).toThrow(/no packed networks/);
  expect(() => unpack(pack(made).subarray(0, -1))).toThrow(/no packed networks/);
});

import { expect, test } from 'vitest';
import type { Baseline } from '../../src/localize/baseline.ts';
import { reflexCode } from '../../src/localize/reflexScale.ts';
import type { Scale } from '../../src/localize/scale.ts';
import { scales } from '../../src/localize/scales.ts';

type State = readonly [code: number, baseline: Baseline, share: number];

/** Cohen's kappa of two examiners who see the same patients, a mix of states, apart from each other. */
function kappa(scale: Scale, mix: readonly State[]): number {
  const margin = scale.values.map(() => 0);
  let agreed = 0;
  for (const [code, baseline, share] of mix) {
    scale.chances(code, baseline).forEach((p, value) => {
      agreed += share * p * p;
      margin[value] = (margin[value] ?? 0) + share * p;
    });
  }
  const byChance = margin.reduce((sum, p) => sum + p * p, 0);
  return (agreed - byChance) / (1 - byChance);
}

const patients: readonly State[] = [
  [reflexCode(0, 0), 'usual', 0.4],
  [reflexCode(0, 0), 'brisk', 0.05],
  [reflexCode(0, 0), 'low', 0.05],
  [reflexCode(0.6, 0), 'usual', 0.25],
  [reflexCode(0, 0.6), 'usual', 0.25],
];

test('two examiners agree on a reflex grade fairly, no better (Manschot 1998: kappa 0.35 at most)', () => {
  expect(kappa(scales.reflex, patients)).toBeGreaterThan(0.2);
  expect(kappa(scales.reflex, patients)).toBeLessThan(0.36);
});

test('two examiners agree on the toe as published (Miller 2005: 0.30; Appasamy 2018: 0.45; Dafkin: 0.72)', () => {
  for (const lost of [0.8, 1]) {
    const half: readonly State[] = [
      [reflexCode(0, 0), 'usual', 0.5],
      [reflexCode(0, lost), 'usual', 0.5],
    ];
    expect(kappa(scales.plantar, half)).toBeGreaterThan(0.3);
    expect(kappa(scales.plantar, half)).toBeLessThan(0.73);
  }
});

test('every state of every scale is a whole distribution in which nothing is impossible', () => {
  for (const scale of Object.values(scales)) {
    for (const baseline of ['usual', 'brisk', 'low', 'no-ankles-dull-feet'] as const) {
      for (let code = 0; code < scale.codes; code++) {
        const chances = scale.chances(code, baseline);
        expect(chances.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
        expect(Math.min(...chances)).toBeGreaterThan(0);
      }
    }
  }
});

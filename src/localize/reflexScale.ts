import { clonusValues, plantarValues, reflexGrades, toneValues } from '../exam/index.ts';
import type { Baseline } from './baseline.ts';
import { either, stepOf } from './grid.ts';
import { type Scale, withSlip } from './scale.ts';

const downSteps = 8;
const upSteps = 5;
/** Code of an arc: how far it is interrupted, and how far released, each 0 to 1. */
export const reflexCode = (down: number, up: number): number =>
  stepOf(down, downSteps) * upSteps + stepOf(up, upSteps);
const arcOf = (code: number): readonly [down: number, up: number] => [
  Math.floor(code / upSteps) / (downSteps - 1),
  (code % upSteps) / (upSteps - 1),
];

/** Grades of healthy people by baseline, 0 to 4+ (from memory; 1+ and 3+ may be normal, Walker 1990). */
const healthy: Readonly<Record<'usual' | 'brisk' | 'low' | 'gone', readonly number[]>> = {
  usual: [0.004, 0.05, 0.9, 0.045, 0.001],
  brisk: [0.001, 0.01, 0.2, 0.77, 0.019],
  low: [0.06, 0.7, 0.235, 0.005, 0],
  gone: [0.75, 0.2, 0.05, 0, 0],
};

/** Chance that two examiners are one grade apart: observers agree moderately (Litvan 1996, Manschot 1998). */
const neighbour = 0.04;

function releaseBy(up: number, from: readonly number[]): readonly number[] {
  const stay = up === 0 ? 1 : Math.max(0.08, (1 - up) ** 1.7);
  const two = up ** 3 * 0.42;
  const one = 1 - stay - two;
  return from.map((_, g) => {
    const below = from[g - 1] ?? 0;
    const twoBelow = from[g - 2] ?? 0;
    const here = from[g] ?? 0;
    if (g < 4) return here * stay + below * one + twoBelow * two;
    return here + below * (one + two) + twoBelow * two;
  });
}

function interruptBy(down: number, from: readonly number[]): readonly number[] {
  const stay = down === 0 ? 1 : Math.max(0.02, (1 - down) ** 1.7);
  const gone = 0.88 * down ** 2.2;
  const less = 1 - stay - gone;
  return from.map((_, g) => {
    const here = from[g] ?? 0;
    const above = from[g + 1] ?? 0;
    const kept = here * stay + above * less;
    // Whatever was there goes: to nothing outright, or one step down; from 1+ a step is nothing too.
    return g === 0 ? here + gone * (1 - here) + (from[1] ?? 0) * less : kept;
  });
}

function blur(from: readonly number[]): readonly number[] {
  return from.map((here, g) => {
    const stay = 1 - (g === 0 || g === 4 ? neighbour : 2 * neighbour);
    return here * stay + ((from[g - 1] ?? 0) + (from[g + 1] ?? 0)) * neighbour;
  });
}

function reflexScale(id: string, base: (baseline: Baseline) => readonly number[]): Scale {
  return {
    id,
    codes: downSteps * upSteps,
    values: reflexGrades,
    varies: true,
    chances(code, baseline) {
      const [down, up] = arcOf(code);
      return withSlip(blur(interruptBy(down, releaseBy(up, base(baseline)))));
    },
    combine(a, b) {
      const [d1, u1] = arcOf(a);
      const [d2, u2] = arcOf(b);
      return reflexCode(either(d1, d2), either(u1, u2));
    },
  };
}

const generalBase = (baseline: Baseline): readonly number[] =>
  baseline === 'brisk' ? healthy.brisk : baseline === 'low' ? healthy.low : healthy.usual;

const anklesGone = (baseline: Baseline): boolean =>
  baseline === 'no-ankles' || baseline === 'no-ankles-dull-feet';

export const reflex = reflexScale('reflex', generalBase);
export const ankle = reflexScale('reflex-ankle', (baseline) =>
  anklesGone(baseline) ? healthy.gone : generalBase(baseline),
);
/** Reflexes that many healthy people show only faintly: adductor, hamstring, deltoid, pectoral, finger flexor, jaw. */
export const faint = reflexScale('reflex-faint', (baseline) =>
  baseline === 'brisk'
    ? [0.01, 0.05, 0.34, 0.58, 0.02]
    : baseline === 'low'
      ? [0.25, 0.6, 0.15, 0, 0]
      : [0.04, 0.15, 0.77, 0.04, 0],
);

/** Beats that may be normal are a value of their own: `few`, up to three (FPnotebook, DeGowin). */
const clonusGrades = ['absent', 'few', ...clonusValues.filter((v) => v !== 'absent')];

export const clonus: Scale = {
  id: 'clonus',
  codes: downSteps * upSteps,
  values: clonusGrades,
  varies: true,
  chances(code, baseline) {
    const [down, up] = arcOf(code);
    const free = (1 - down) ** 2;
    const base = baseline === 'brisk' ? [0.9, 0.06, 0.03, 0.01] : [0.968, 0.02, 0.01, 0.002];
    const full = [0.32, 0.08, 0.28, 0.32];
    const x = up ** 1.3 * free;
    return withSlip(base.map((p, i) => p * (1 - x) + (full[i] ?? 0) * x));
  },
  combine: reflex.combine,
};

/**
 * The plantar response to a lost tract is extensor in 50-84 % and in a healthy foot in 1-14 % (Isaza
 * Jaramillo 2014; Appasamy 2018; kappa 0.3 to 0.73); the state carries how sure the lesion makes it.
 */
export const plantar: Scale = {
  id: 'plantar',
  codes: downSteps * upSteps,
  values: plantarValues,
  varies: false,
  chances(code) {
    const [down, up] = arcOf(code);
    const free = [0.935, 0.015, 0.025, 0.025];
    const released = [0.13, 0.72, 0.09, 0.06];
    const moved = free.map((p, i) => p * (1 - up) + (released[i] ?? 0) * up);
    const stuck = [0.22, 0.02, 0.06, 0.7];
    return withSlip(moved.map((p, i) => p * (1 - down) + (stuck[i] ?? 0) * down));
  },
  combine: reflex.combine,
};

export const tone: Scale = {
  id: 'tone',
  codes: downSteps * upSteps,
  values: toneValues,
  varies: false,
  chances(code) {
    const [down, up] = arcOf(code);
    const normal = [0.96, 0.02, 0.012, 0.008];
    const spastic = [0.22, 0.02, 0.74, 0.02];
    const flaccid = [0.3, 0.67, 0.02, 0.01];
    const x = normal.map((p, i) => p * (1 - up) + (spastic[i] ?? 0) * up);
    return withSlip(x.map((p, i) => p * (1 - down) + (flaccid[i] ?? 0) * down));
  },
  combine: reflex.combine,
};

import { mrcGrades } from '../exam/index.ts';
import { either, stepOf } from './grid.ts';
import { type Scale, slipInStrength, withSlip } from './scale.ts';

const lossSteps = 20;
const patchSteps = 6;

/** Typical grade on the MRC ladder (index 0 to 10) for a share of the muscle lost (from memory). */
const gradeAt: readonly (readonly [loss: number, grade: number])[] = [
  [0, 9.6],
  [0.1, 9.1],
  [0.25, 8.4],
  [0.4, 7.7],
  [0.55, 7],
  [0.7, 6],
  [0.8, 4.8],
  [0.9, 3],
  [1, 0.7],
];

function typicalGrade(loss: number): number {
  for (let i = 1; i < gradeAt.length; i++) {
    const [x1, y1] = gradeAt[i] ?? [1, 0];
    const [x0, y0] = gradeAt[i - 1] ?? [0, 10];
    if (loss <= x1) return y0 + ((y1 - y0) * (loss - x0)) / (x1 - x0);
  }
  return 0.7;
}

/** 3-, 3+ and 5- are seldom used; 4 most (from memory). */
const usage: readonly number[] = [1, 0.9, 1, 0.35, 1, 0.5, 0.7, 1.5, 1, 0.35];

/** Chance that a muscle which has lost this much is still graded 5. */
const gradedFull = (loss: number): number =>
  loss === 0 ? 0.955 : Math.max(0.002, 0.9 * Math.exp(-5.5 * loss) - 0.004);

function gradesFor(loss: number): readonly number[] {
  const centre = typicalGrade(loss);
  const spread = loss === 0 ? 1 : loss > 0.92 ? 1.4 : 2;
  // Mostly near the typical grade, now and then far from it: muscles of one patient differ.
  const bell = (grade: number, width: number): number =>
    Math.exp(-0.5 * ((grade - centre) / width) ** 2) / width;
  const tail = loss === 0 ? 0.03 : 0.15;
  const weights = usage.map(
    (u, grade) => u * ((1 - tail) * bell(grade, spread) + tail * bell(grade, 3)),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  const full = gradedFull(loss);
  return [...weights.map((w) => ((1 - full) * w) / sum), full];
}

const patchy = (chance: number): readonly number[] => {
  const weak = [0.3, 0.5, 0.7].map(gradesFor);
  const none = gradesFor(0);
  return none.map(
    (p, i) =>
      (1 - chance) * p + chance * weak.reduce((sum, w) => sum + (w[i] ?? 0) / weak.length, 0),
  );
};

/** Code of a strength state: a share lost, or a chance that this muscle is among those struck. */
export function strengthCode(loss: number, patchyChance = 0): number {
  if (patchyChance > 0.08) return lossSteps + stepOf(patchyChance, patchSteps);
  return stepOf(loss, lossSteps);
}
const lossOfCode = (code: number): number =>
  code < lossSteps ? code / (lossSteps - 1) : ((code - lossSteps) / (patchSteps - 1)) * 0.6;

export const strength: Scale = {
  id: 'strength',
  codes: lossSteps + patchSteps,
  values: mrcGrades,
  varies: false,
  chances: (code) =>
    withSlip(
      code < lossSteps
        ? gradesFor(code / (lossSteps - 1))
        : patchy((code - lossSteps) / (patchSteps - 1)),
      slipInStrength,
    ),
  combine(a, b) {
    if (a === 0) return b;
    if (b === 0) return a;
    return stepOf(either(lossOfCode(a), lossOfCode(b)), lossSteps);
  },
};

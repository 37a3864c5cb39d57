import { baselineShares, baselines } from './baseline.ts';
import type { Evidence } from './evidence.ts';
import type { Model } from './model.ts';
import { exactLog, logTables } from './scale.ts';

/**
 * Running sums of log likelihood for every row under the usual baseline, and for each other baseline
 * what it changes.
 */
export interface Sums {
  readonly plain: Float64Array;
  readonly byBaseline: readonly Float64Array[];
  /** Which baselines any finding so far has told apart from the usual one. */
  readonly told: boolean[];
}

export const emptySums = (model: Model): Sums => ({
  plain: Float64Array.from(model.start),
  byBaseline: baselines.map(() => new Float64Array(model.rows)),
  told: baselines.map(() => false),
});

/** Adds one finding to the sums (or with `sign` -1 takes it out again), in place. */
export function addEvidence(model: Model, sums: Sums, evidence: Evidence, sign: 1 | -1 = 1): void {
  const { scale, value, item } = evidence;
  const column = model.column(item);
  const tables = logTables(scale);
  const width = scale.values.length;
  const { rows } = model;
  const change = new Float64Array(scale.codes);
  const usual = tables[0] as Float64Array;
  tables.forEach((table, t) => {
    // The usual baseline goes into the plain sum; the others add what differs, mostly nothing.
    let differs = t === 0;
    for (let code = 0; code < change.length; code++) {
      const at = code * width + value;
      const log = (table[at] as number) - (t === 0 ? 0 : (usual[at] as number));
      if (log !== 0) differs = true;
      change[code] = sign * log;
    }
    const target = t === 0 ? sums.plain : sums.byBaseline[t];
    if (!differs || target === undefined) return;
    if (t > 0) sums.told[t] = true;
    for (let row = 0; row < rows; row++) {
      target[row] = (target[row] as number) + (change[column[row] as number] as number);
    }
  });
}

/** A row with a baseline, and its part in the probability. */
export interface Weight {
  readonly row: number;
  readonly baseline: number;
  readonly mass: number;
}

export interface Posterior {
  /** Probability of each candidate, adding to 1. */
  readonly candidates: Float64Array;
  /** The rows that carry the answer, each with each baseline; what is below 1e-7 of the best is left out. */
  weights(): readonly Weight[];
  /** Log of the probability of all findings together. */
  readonly evidence: number;
}

/** Rows this far below the best in log likelihood are left out; what they hold is below 1e-12 in all. */
const negligible = 42;
const notCarrying = 16;

/**
 * Adds the masses of each candidate's rows, which are neighbours, from the smallest up: a lesion of
 * both sides has rows that are each other's mirror image, and its sum must not depend on their order.
 */
function sumByOwner(model: Model, masses: Float64Array): Float64Array {
  const { owner, rows } = model;
  const sums = new Float64Array(model.candidates.length);
  for (let from = 0; from < rows; ) {
    const candidate = owner[from] as number;
    let to = from + 1;
    while (to < rows && owner[to] === candidate) to++;
    const own = masses.subarray(from, to).sort();
    let sum = 0;
    for (let i = 0; i < own.length; i++) sum += own[i] as number;
    sums[candidate] = sum;
    from = to;
  }
  return sums;
}

/** The probability of every candidate from the sums. @param age in years, where told */
export function posteriorOf(model: Model, sums: Sums, age: number | undefined): Posterior {
  const plainShares = baselineShares(age);
  const shares = plainShares.map(exactLog);
  const { plain, byBaseline, told } = sums;
  // Baselines that nothing has told apart yet are one and the same, and are summed once.
  const silent = plainShares.reduce((sum, share, b) => (told[b] ? sum : sum + share), 0);
  const parts = [
    { own: undefined, share: exactLog(silent) },
    ...byBaseline.flatMap((own, b) => (told[b] ? [{ own, share: shares[b] as number }] : [])),
  ];
  let best = Number.NEGATIVE_INFINITY;
  for (const { own, share } of parts) {
    for (let row = 0; row < model.rows; row++) {
      const sum = (plain[row] as number) + (own === undefined ? 0 : (own[row] as number)) + share;
      if (sum > best) best = sum;
    }
  }
  const masses = new Float64Array(model.rows);
  for (const { own, share } of parts) {
    for (let row = 0; row < model.rows; row++) {
      const sum = (plain[row] as number) + (own === undefined ? 0 : (own[row] as number)) + share;
      if (sum - best >= -negligible) masses[row] = (masses[row] as number) + Math.exp(sum - best);
    }
  }
  const candidates = sumByOwner(model, masses);
  // Summed from the smallest, so that the total is the same however left and right are placed.
  const total = Float64Array.from(candidates)
    .sort()
    .reduce((a, b) => a + b, 0);
  for (let c = 0; c < candidates.length; c++) candidates[c] = (candidates[c] as number) / total;
  let known: readonly Weight[] | undefined;
  return {
    candidates,
    evidence: best + Math.log(total),
    weights() {
      if (known !== undefined) return known;
      const weights: Weight[] = [];
      for (let row = 0; row < model.rows; row++) {
        byBaseline.forEach((own, baseline) => {
          const below =
            (plain[row] as number) + (own[row] as number) + (shares[baseline] as number) - best;
          if (below > -notCarrying) weights.push({ row, baseline, mass: Math.exp(below) / total });
        });
      }
      known = weights;
      return weights;
    },
  };
}

/** The so many heaviest, from the heaviest down; all others are not even sorted. */
export function heaviest(weights: readonly Weight[], count: number): readonly Weight[] {
  let least = weights.reduce((most, { mass }) => Math.max(most, mass), 0);
  let kept: readonly Weight[] = [];
  while (kept.length < Math.min(count, weights.length)) {
    least /= 8;
    kept = weights.filter(({ mass }) => mass >= least);
  }
  return [...kept].sort((a, b) => b.mass - a.mass || a.row - b.row).slice(0, count);
}

import { baselineShares, baselines } from './baseline.ts';
import type { Evidence } from './evidence.ts';
import type { Model } from './model.ts';
import { combineTable, exactLog, logTables } from './scale.ts';

/**
 * Running sums of log likelihood for every row under the usual baseline, and for each other baseline
 * what it changes.
 */
export interface Sums {
  readonly plain: Float64Array;
  readonly byBaseline: readonly Float64Array[];
}

export const emptySums = (model: Model): Sums => ({
  plain: Float64Array.from(model.start),
  byBaseline: baselines.map(() => new Float64Array(model.rows)),
});

/** Adds one finding to the sums (or with `sign` -1 takes it out again), in place. */
export function addEvidence(model: Model, sums: Sums, evidence: Evidence, sign: 1 | -1 = 1): void {
  const { scale, value, item } = evidence;
  const column = model.column(item);
  const tables = logTables(scale);
  const { codes } = scale;
  const width = scale.values.length;
  const together = combineTable(scale);
  const { singles, rows, rowA, rowB } = model;
  const single = new Float64Array(codes);
  const pair = new Float64Array(codes * codes);
  const usual = tables[0] as Float64Array;
  tables.forEach((table, t) => {
    // The usual baseline goes into the plain sum; the others add what differs, mostly nothing.
    let differs = t === 0;
    for (let code = 0; code < codes; code++) {
      const at = code * width + value;
      const log = (table[at] as number) - (t === 0 ? 0 : (usual[at] as number));
      if (log !== 0) differs = true;
      single[code] = sign * log;
    }
    if (!differs) return;
    for (let i = 0; i < pair.length; i++) pair[i] = single[together[i] ?? 0] ?? 0;
    const target = t === 0 ? sums.plain : sums.byBaseline[t];
    if (target === undefined) return;
    for (let row = 0; row < singles; row++) {
      target[row] = (target[row] as number) + (single[column[row] as number] as number);
    }
    for (let row = singles, p = 0; row < rows; row++, p++) {
      const a = column[rowA[p] as number] as number;
      const b = column[rowB[p] as number] as number;
      target[row] = (target[row] as number) + (pair[a * codes + b] as number);
    }
  });
}

export interface Posterior {
  /** Probability of each candidate, adding to 1. */
  readonly candidates: Float64Array;
  /** Probability of each row with each baseline, at `row * baselines + baseline`, where not nil. */
  readonly rows: ReadonlyMap<number, number>;
  /** Log of the probability of all findings together. */
  readonly evidence: number;
}

/** Rows this far below the best in log likelihood are left out; what they hold is below 1e-12 in all. */
const negligible = 42;

export function posteriorOf(model: Model, sums: Sums, age: number | undefined): Posterior {
  const shares = baselineShares(age).map(exactLog);
  const count = baselines.length;
  const { plain, byBaseline } = sums;
  let best = Number.NEGATIVE_INFINITY;
  for (let b = 0; b < count; b++) {
    const own = byBaseline[b] as Float64Array;
    const share = shares[b] as number;
    for (let row = 0; row < model.rows; row++) {
      const sum = (plain[row] as number) + (own[row] as number) + share;
      if (sum > best) best = sum;
    }
  }
  const candidates = new Float64Array(model.candidates.length);
  const rows = new Map<number, number>();
  for (let row = 0; row < model.rows; row++) {
    for (let b = 0; b < count; b++) {
      const below =
        (plain[row] as number) +
        ((byBaseline[b] as Float64Array)[row] as number) +
        (shares[b] as number) -
        best;
      if (below < -negligible) continue;
      const mass = Math.exp(below);
      const owner = model.owner[row] as number;
      candidates[owner] = (candidates[owner] as number) + mass;
      if (below > -24) rows.set(row * count + b, mass);
    }
  }
  // Summed from the smallest, so that the total is the same however left and right are placed.
  const total = Float64Array.from(candidates)
    .sort()
    .reduce((a, b) => a + b, 0);
  for (let c = 0; c < candidates.length; c++) candidates[c] = (candidates[c] as number) / total;
  for (const [row, mass] of rows) rows.set(row, mass / total);
  return { candidates, rows, evidence: best + Math.log(total) };
}

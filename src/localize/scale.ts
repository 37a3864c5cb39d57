import { type Baseline, baselines } from './baseline.ts';

/**
 * A kind of finding as the inference sees it. What a lesion does to an item is one of a few states,
 * told by a code; a state gives a distribution over the values an examiner may report.
 */
export interface Scale {
  readonly id: string;
  readonly codes: number;
  readonly values: readonly string[];
  /** The distribution over `values`, examiner's noise included, adding to 1. */
  chances(code: number, baseline: Baseline): readonly number[];
  /** The state when two lesions act on the same item. */
  combine(a: number, b: number): number;
  /** Whether the patient's baseline matters. */
  readonly varies: boolean;
}

/**
 * Anything may be misheard, mistaken or written to the wrong side: this share of findings is taken
 * to be unrelated to the patient's state (from memory; no published rate for a whole exam).
 */
export const slipShare = 0.012;
/** A grade of strength is a number given on the spot, and seldom a wrong one (from memory). */
export const slipInStrength = 0.004;
/** What the patient tells is asked plainly and seldom written down wrong (from memory). */
export const slipInHistory = 0.001;
/** A named sign is looked for on purpose (from memory). */
export const slipInSigns = 0.006;

/** Spreads the slip over all values; the result adds to 1. */
export function withSlip(chances: readonly number[], slip = slipShare): readonly number[] {
  const sum = chances.reduce((a, b) => a + b, 0);
  return chances.map((p) => (1 - slip) * (p / sum) + slip / chances.length);
}
/**
 * Logs are rounded to this step, so that sums come out the same in any order to the last bit and a
 * mirrored exam gets a mirrored answer.
 */
const grain = 2 ** 34;
export const exactLog = (p: number): number => Math.round(Math.log(p) * grain) / grain;

const tables = new Map<Scale, readonly Float64Array[]>();

/** For each baseline, logs of chances at `code * values + value`; one table where none varies. */
export function logTables(scale: Scale): readonly Float64Array[] {
  const known = tables.get(scale);
  if (known !== undefined) return known;
  const of = (baseline: Baseline): Float64Array => {
    const table = new Float64Array(scale.codes * scale.values.length);
    for (let code = 0; code < scale.codes; code++) {
      scale.chances(code, baseline).forEach((p, v) => {
        table[code * scale.values.length + v] = exactLog(p);
      });
    }
    return table;
  };
  const made = (scale.varies ? baselines : (['usual'] as const)).map(of);
  tables.set(scale, made);
  return made;
}

const combinations = new Map<Scale, Uint8Array>();

/** The code of two states together, at `a * codes + b`. */
export function combineTable(scale: Scale): Uint8Array {
  const known = combinations.get(scale);
  if (known !== undefined) return known;
  const table = new Uint8Array(scale.codes * scale.codes);
  for (let a = 0; a < scale.codes; a++) {
    for (let b = 0; b < scale.codes; b++) table[a * scale.codes + b] = scale.combine(a, b);
  }
  combinations.set(scale, table);
  return table;
}

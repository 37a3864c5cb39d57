import type { Finding } from '../../src/exam/index.ts';
import { baselineShares, baselines } from '../../src/localize/baseline.ts';
import { bedside } from '../../src/localize/bedside.ts';
import { weigh } from '../../src/localize/evidence.ts';
import { scaleOf } from '../../src/localize/item.ts';
import type { Model } from '../../src/localize/model.ts';
import { addEvidence, emptySums, posteriorOf } from '../../src/localize/posterior.ts';

/** A small seeded generator (mulberry32), so that a run can be repeated. */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function draw(weights: readonly number[] | Float64Array, next: () => number): number {
  let left = next() * (weights as readonly number[]).reduce((a, b) => a + b, 0);
  for (let i = 0; i < weights.length; i++) {
    left -= weights[i] ?? 0;
    if (left <= 0) return i;
  }
  return weights.length - 1;
}

/** A patient drawn from the model, and a random part of what would be found. */
export function drawExam(
  model: Model,
  starts: Float64Array,
  next: () => number,
): { readonly candidate: number; readonly findings: readonly Finding[] } {
  const row = drawCumulative(starts, next);
  const baseline = draw(baselineShares(undefined), next);
  const size = 4 + Math.floor(next() * 70);
  const findings: Finding[] = [];
  const used = new Set<number>();
  for (let i = 0; i < size; i++) {
    const at = Math.floor(next() * bedside.length);
    const item = bedside[at];
    if (item === undefined || used.has(at)) continue;
    used.add(at);
    const scale = scaleOf(item);
    const code = model.column(item)[row] ?? 0;
    const value =
      scale.values[draw(scale.chances(code, baselines[baseline] ?? 'usual'), next)] ?? '';
    // A few beats of clonus are told as unsustained, with their number.
    const told =
      value === 'few'
        ? { value: 'unsustained', beats: 2 }
        : value === 'unsustained'
          ? { value, beats: 6 }
          : { value };
    findings.push({ ...item, ...told } as unknown as Finding);
  }
  return { candidate: model.owner[row] ?? 0, findings };
}

export function cumulativeStarts(model: Model): Float64Array {
  const sums = new Float64Array(model.rows);
  let sum = 0;
  for (let row = 0; row < model.rows; row++) {
    sum += Math.exp(model.start[row] ?? 0);
    sums[row] = sum;
  }
  return sums;
}

function drawCumulative(sums: Float64Array, next: () => number): number {
  const target = next() * (sums[sums.length - 1] ?? 1);
  let low = 0;
  let high = sums.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sums[middle] ?? 0) < target) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** One tenth of the scale of stated probability. */
export interface Tenth {
  readonly from: number;
  readonly stated: number;
  readonly happened: number;
  readonly count: number;
}

/**
 * Stated probability against how often it came true, in tenths, over exams drawn from the model. All
 * candidates with a stated probability of at least 1 % count.
 */
export function calibration(model: Model, exams: number, seed: number): readonly Tenth[] {
  const next = random(seed);
  const starts = cumulativeStarts(model);
  const bins = Array.from({ length: 10 }, () => ({ stated: 0, happened: 0, count: 0 }));
  for (let i = 0; i < exams; i++) {
    const { candidate, findings } = drawExam(model, starts, next);
    const { evidence, age } = weigh(findings);
    const sums = emptySums(model);
    for (const e of evidence) addEvidence(model, sums, e);
    posteriorOf(model, sums, age).candidates.forEach((p, c) => {
      if (p < 0.01) return;
      const bin = bins[Math.min(9, Math.floor(p * 10))];
      if (bin === undefined) return;
      bin.stated += p;
      bin.happened += c === candidate ? 1 : 0;
      bin.count++;
    });
  }
  return bins.map(({ stated, happened, count }, i) => ({
    from: i / 10,
    stated: stated / Math.max(1, count),
    happened: happened / Math.max(1, count),
    count,
  }));
}

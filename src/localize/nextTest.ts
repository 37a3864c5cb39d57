import type { Finding, Kind, Side } from '../exam/index.ts';
import { bedside } from './bedside.ts';
import { type Item, itemId, scaleOf } from './item.ts';
import type { Model } from './model.ts';
import { groupOf, isNormal } from './normal.ts';
import type { Posterior } from './posterior.ts';
import type { NextTest } from './result.ts';
import { logTables } from './scale.ts';
import { itemWords } from './words.ts';

/** Rows that together hold all but a small part of the probability. */
const rowsUsed = 220;
/** A value this unlikely is not worth foretelling. */
const worthTelling = 0.06;
/** A value that moves no site by this much is not worth a word. */
const leastGain = 0.004;
/** Less information than this separates nothing. */
const fewestBits = 0.015;

/** Tests whose information differs by less than this are taken in bedside order. */
const sameBits = 0.05;

/**
 * The untested items that would part the candidates best, by expected information, equal ones in
 * bedside order; what was said not to be testable is not asked for again.
 */
export function nextTests(
  model: Model,
  posterior: Posterior,
  tested: readonly Finding[],
  nameOf: (candidate: number) => string,
  count: number,
): readonly NextTest[] {
  const done = new Set(
    tested.map((f) =>
      itemId({
        kind: f.kind,
        site: f.site,
        side: f.side,
        ...(f.kind === 'sensation' ? { modality: f.modality } : {}),
      }),
    ),
  );
  const flat = posterior.weights().map((w) => ({ ...w, candidate: model.owner[w.row] ?? 0 }));
  flat.sort((a, b) => b.mass - a.mass || a.row - b.row);
  const used = flat.slice(0, rowsUsed);
  const total = used.reduce((sum, { mass }) => sum + mass, 0);
  const owners = [...new Set(used.map(({ candidate }) => candidate))];
  const place = new Map(owners.map((owner, i) => [owner, i]));
  const share = new Float64Array(owners.length);
  for (const { candidate, mass } of used) {
    const i = place.get(candidate) ?? 0;
    share[i] = (share[i] ?? 0) + mass / total;
  }
  const found: { item: Item; bits: number; joint: Float64Array; values: readonly string[] }[] = [];
  for (const item of bedside) {
    if (done.has(itemId(item))) continue;
    const scale = scaleOf(item);
    const width = scale.values.length;
    const joint = new Float64Array(owners.length * width);
    const tables = logTables(scale).map(chances);
    for (const { row, baseline, mass, candidate } of used) {
      const code = model.code(item, row);
      const table = tables[scale.varies ? baseline : 0] as Float64Array;
      const at = (place.get(candidate) ?? 0) * width;
      for (let v = 0; v < width; v++) {
        joint[at + v] = (joint[at + v] ?? 0) + (mass / total) * (table[code * width + v] ?? 0);
      }
    }
    const bits = information(joint, share, width);
    if (bits > fewestBits) found.push({ item, bits, joint, values: scale.values });
  }
  const order = new Map(found.map((f, i) => [f, i]));
  const step = ({ bits }: { readonly bits: number }): number => Math.round(bits / sameBits);
  found.sort((a, b) => step(b) - step(a) || (order.get(a) ?? 0) - (order.get(b) ?? 0));
  const tests = found.map(({ item, bits, joint, values }): NextTest => {
    const outcomes = outcomesOf(item, joint, share, values).map(({ value, best }) => ({
      value,
      towards: nameOf(owners[best] ?? 0),
    }));
    const name = itemWords(item.kind, item.site, item.side, item.modality);
    return {
      kind: item.kind as Kind,
      site: item.site,
      side: item.side as Side,
      ...(item.modality === undefined ? {} : { modality: item.modality }),
      name,
      bits,
      outcomes,
      text: `${name}: ${outcomes.map((o) => `${o.value} towards ${o.towards}`).join('; ')}`,
    };
  });
  // A test that can only ever strengthen one site parts nothing.
  const parting = tests.filter(({ outcomes }) => new Set(outcomes.map((o) => o.towards)).size > 1);
  return varied(parting).slice(0, count);
}

/** Of tests of one kind on one side at most so many, for those after them tell the same again. */
const alike = 2;

function varied(tests: readonly NextTest[]): readonly NextTest[] {
  const seen = new Map<string, number>();
  return tests.filter(({ kind, side }) => {
    const count = (seen.get(`${kind}/${side}`) ?? 0) + 1;
    seen.set(`${kind}/${side}`, count);
    return count <= alike;
  });
}

const exps = new WeakMap<Float64Array, Float64Array>();
function chances(logs: Float64Array): Float64Array {
  const known = exps.get(logs);
  if (known !== undefined) return known;
  const made = logs.map(Math.exp);
  exps.set(logs, made);
  return made;
}

/** Mutual information of candidate and value, in bits. */
function information(joint: Float64Array, share: Float64Array, width: number): number {
  let bits = 0;
  for (let v = 0; v < width; v++) {
    let all = 0;
    for (let c = 0; c < share.length; c++) all += joint[c * width + v] ?? 0;
    if (all <= 0) continue;
    for (let c = 0; c < share.length; c++) {
      const p = joint[c * width + v] ?? 0;
      const s = share[c] ?? 0;
      if (p > 0 && s > 0) bits += p * Math.log2(p / (s * all));
    }
  }
  return bits;
}

/** For each group of values, the candidate that gains most by it. */
function outcomesOf(
  item: Item,
  joint: Float64Array,
  share: Float64Array,
  values: readonly string[],
): readonly { readonly value: string; readonly best: number }[] {
  const width = values.length;
  const groups = [...new Set(values.map((v) => groupOf(item.kind, v)))];
  const outcomes: { value: string; best: number; normal: boolean }[] = [];
  for (const group of groups) {
    const members = values.flatMap((v, i) => (groupOf(item.kind, v) === group ? [i] : []));
    const mass = (c: number): number =>
      members.reduce((sum, v) => sum + (joint[c * width + v] ?? 0), 0);
    let all = 0;
    for (let c = 0; c < share.length; c++) all += mass(c);
    if (all < worthTelling) continue;
    let best = 0;
    let most = Number.NEGATIVE_INFINITY;
    for (let c = 0; c < share.length; c++) {
      const gain = mass(c) / all - (share[c] ?? 0);
      if (gain > most) [most, best] = [gain, c];
    }
    if (most < leastGain) continue;
    const normal = isNormal({ kind: item.kind as Kind, value: group } as Finding);
    outcomes.push({ value: group, best, normal });
  }
  return outcomes.sort((a, b) => Number(a.normal) - Number(b.normal));
}

import type { Finding, Kind, Side } from '../exam/index.ts';
import { askable } from './askable.ts';
import { bedside } from './bedside.ts';
import { type Item, scaleOf } from './item.ts';
import { type LocalizeMessages, localizeMessages } from './messages/argument.ts';
import type { Model } from './model.ts';
import { groupOf, isNormal } from './normal.ts';
import { heaviest, type Posterior } from './posterior.ts';
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
/** A test that cannot change which site leads is still worth its time from here on. */
const tellingBits = 0.1;
/** What a test adds to those proposed before it must be this much. */
const addedBits = 0.05;
/** Of all items only so many, the most telling alone, are weighed for what they add. */
const weighedTogether = 48;
/** Tests whose information differs by less than this are taken in bedside order. */
const sameBits = 0.05;

/** An untested item, its chances under the rows that carry the answer, and what it tells alone. */
interface Probe {
  readonly item: Item;
  readonly place: number;
  readonly bits: number;
  readonly outcomes: readonly Outcome[];
  /** Chance of each outcome (values spoken of in one breath) under each row, at `row * width + outcome`. */
  readonly chances: Float64Array;
  readonly width: number;
}

/**
 * The untested items that would part the candidates best, by expected information, equal ones in
 * bedside order. Each is weighed by what it adds to those before it, so that the right side is not
 * asked for what the left has told. Nothing is proposed that could not change which site leads and
 * tells little, nor what cannot be asked of this patient (`askable`). None at all means that enough
 * is known, or that the bedside can tell no more.
 */
export function nextTests(
  model: Model,
  posterior: Posterior,
  tested: readonly Finding[],
  nameOf: (candidate: number) => string,
  count: number,
  messages: LocalizeMessages = localizeMessages.en,
): readonly NextTest[] {
  const used = heaviest(posterior.weights(), rowsUsed).map((weight) => ({
    ...weight,
    candidate: model.owner[weight.row] ?? 0,
  }));
  const all = used.reduce((sum, { mass }) => sum + mass, 0);
  const owners = [...new Set(used.map(({ candidate }) => candidate))];
  const place = new Map(owners.map((owner, i) => [owner, i]));
  const ownerOf = used.map(({ candidate }) => place.get(candidate) ?? 0);
  const share = new Float64Array(owners.length);
  used.forEach(({ mass }, i) => {
    share[ownerOf[i] as number] = (share[ownerOf[i] as number] ?? 0) + mass / all;
  });
  const masses = Float64Array.from(used, ({ mass }) => mass / all);
  const canAsk = askable(tested);
  const probes: Probe[] = [];
  bedside.forEach((item, order) => {
    if (!canAsk(item)) return;
    const { values } = scaleOf(item);
    const groups = [...new Set(values.map((v) => groupOf(item.kind, v)))];
    const width = groups.length;
    const groupAt = values.map((v) => groups.indexOf(groupOf(item.kind, v)));
    const scale = scaleOf(item);
    const tables = logTables(scale).map(chances);
    const own = new Float64Array(used.length * width);
    used.forEach(({ row, baseline }, i) => {
      const table = tables[scale.varies ? baseline : 0] as Float64Array;
      const at = model.code(item, row) * values.length;
      groupAt.forEach((group, v) => {
        own[i * width + group] = (own[i * width + group] as number) + (table[at + v] as number);
      });
    });
    const joint = jointOf(masses, own, width, ownerOf, owners.length);
    const bits = information(joint, share, width);
    if (bits <= fewestBits) return;
    const { outcomes, changes } = outcomesOf(item, joint, share, groups);
    // A test that can only ever strengthen one site parts nothing.
    const parts = new Set(outcomes.map(({ best }) => best)).size > 1;
    if (!parts || (!changes && bits < tellingBits)) return;
    probes.push({ item, place: order, bits, outcomes, chances: own, width });
  });
  probes.sort((a, b) => b.bits - a.bits || a.place - b.place);
  const chosen: { readonly probe: Probe; readonly bits: number }[] = [];
  let left: readonly Probe[] = probes.slice(0, weighedTogether);
  /** What the rows weigh after each combination of outcomes of the tests chosen so far. */
  let cells: readonly Float64Array[] = [masses];
  while (chosen.length < count && left.length > 0) {
    const gains = left.map((probe) => ({
      probe,
      bits: cells.reduce((sum, cell) => sum + gainIn(cell, probe, ownerOf, owners.length), 0),
    }));
    const step = ({ bits }: { readonly bits: number }): number => Math.round(bits / sameBits);
    gains.sort((a, b) => step(b) - step(a) || a.probe.place - b.probe.place);
    const [next] = gains;
    if (next === undefined || next.bits < (chosen.length === 0 ? fewestBits : addedBits)) break;
    chosen.push(next);
    left = left.filter((probe) => probe !== next.probe);
    cells = cells.flatMap((cell) => split(cell, next.probe));
  }
  return chosen.map(({ probe: { item, outcomes }, bits }): NextTest => {
    const name = itemWords(item, messages.places);
    const told = outcomes.map(({ values, best }) => ({
      value: messages.outcome(item.kind, values),
      towards: nameOf(owners[best] ?? 0),
    }));
    return {
      kind: item.kind as Kind,
      site: item.site,
      side: item.side as Side,
      ...(item.modality === undefined ? {} : { modality: item.modality }),
      name,
      bits,
      outcomes: told,
      text: messages.test(name, told),
    };
  });
}

/** Mass of each candidate with each outcome, at `candidate * width + outcome`. */
function jointOf(
  masses: Float64Array,
  own: Float64Array,
  width: number,
  ownerOf: readonly number[],
  candidates: number,
): Float64Array {
  const joint = new Float64Array(candidates * width);
  for (let i = 0; i < masses.length; i++) {
    const at = (ownerOf[i] as number) * width;
    for (let o = 0; o < width; o++) {
      joint[at + o] =
        (joint[at + o] as number) + (masses[i] as number) * (own[i * width + o] as number);
    }
  }
  return joint;
}

/** Combinations of outcomes rarer than this are not followed; what they hold is left out of the gain. */
const rareCell = 5e-3;

function gainIn(
  cell: Float64Array,
  { chances: own, width }: Probe,
  ownerOf: readonly number[],
  candidates: number,
): number {
  const mass = total(cell);
  const joint = jointOf(cell, own, width, ownerOf, candidates);
  const share = new Float64Array(candidates);
  for (let i = 0; i < cell.length; i++) {
    share[ownerOf[i] as number] = (share[ownerOf[i] as number] as number) + (cell[i] as number);
  }
  return (
    mass *
    information(
      joint.map((p) => p / mass),
      share.map((p) => p / mass),
      width,
    )
  );
}

const split = (cell: Float64Array, { chances: own, width }: Probe): readonly Float64Array[] =>
  Array.from({ length: width }, (_, o) =>
    cell.map((mass, i) => mass * (own[i * width + o] ?? 0)),
  ).filter((part) => total(part) >= rareCell);

function total(masses: Float64Array): number {
  let sum = 0;
  for (const mass of masses) sum += mass;
  return sum;
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

/** Values with one effect, and the candidate that gains most by them. */
interface Outcome {
  readonly values: readonly string[];
  readonly best: number;
}

/**
 * For each outcome the candidate that gains most by it, outcomes with the same gainer together, the
 * normal ones last; and whether any of them would change which candidate leads.
 */
function outcomesOf(
  item: Item,
  joint: Float64Array,
  share: Float64Array,
  groups: readonly string[],
): { readonly outcomes: readonly Outcome[]; readonly changes: boolean } {
  const width = groups.length;
  const leader = largest(share);
  const outcomes: { values: string[]; best: number; normal: boolean }[] = [];
  let changes = false;
  groups.forEach((value, o) => {
    const mass = share.map((_, c) => joint[c * width + o] ?? 0);
    const all = mass.reduce((a, b) => a + b, 0);
    if (all < worthTelling) return;
    if (largest(mass) !== leader) changes = true;
    const gains = mass.map((m, c) => m / all - (share[c] ?? 0));
    const best = largest(gains);
    if ((gains[best] ?? 0) < leastGain) return;
    const normal = isNormal({ kind: item.kind as Kind, value } as Finding);
    const same = outcomes.find((known) => known.best === best);
    if (same === undefined) outcomes.push({ values: [value], best, normal });
    else {
      same.values.push(value);
      same.normal ||= normal;
    }
  });
  return { outcomes: outcomes.sort((a, b) => Number(a.normal) - Number(b.normal)), changes };
}

const largest = (masses: Float64Array): number =>
  masses.reduce((best, mass, c) => (mass > (masses[best] ?? 0) ? c : best), 0);

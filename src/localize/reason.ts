import type { Evidence } from './evidence.ts';
import type { LocalizeMessages } from './messages/argument.ts';
import type { Model } from './model.ts';
import { groupOf, isAbnormal, isNormal } from './normal.ts';
import type { Posterior, Weight } from './posterior.ts';
import type { Reason } from './result.ts';
import { logTables } from './scale.ts';
import { qualityAgainst, qualityFor, type Told, whyAgainst, whyFor } from './why.ts';
import { togetherWords } from './words.ts';

/** The chance of a finding under one row and baseline. */
export function chanceIn(
  model: Model,
  row: number,
  baseline: number,
  { scale, item, value }: Evidence,
): number {
  const tables = logTables(scale);
  const table = tables[scale.varies ? baseline : 0] as Float64Array;
  const code = model.code(item, row);
  return Math.exp(table[code * scale.values.length + value] ?? 0);
}

/** The rows behind a candidate (or behind all the others), with what they weigh. */
export function weightsBy(
  model: Model,
  posterior: Posterior,
): ReadonlyMap<number, readonly Weight[]> {
  const by = new Map<number, Weight[]>();
  for (const weight of posterior.weights()) {
    const owner = model.owner[weight.row] ?? 0;
    const list = by.get(owner);
    if (list === undefined) by.set(owner, [weight]);
    else list.push(weight);
  }
  return by;
}

/**
 * Chance of a finding under some rows, given the other findings: its own weight is taken out first.
 * `chance` says what is foretold; the finding as it was made unless told otherwise.
 */
function predicted(
  model: Model,
  weights: readonly Weight[],
  evidence: Evidence,
  chance: (row: number, baseline: number) => number = (row, baseline) =>
    chanceIn(model, row, baseline, evidence),
): number {
  let all = 0;
  let without = 0;
  for (const { row, baseline, mass } of weights) {
    const rest = mass / chanceIn(model, row, baseline, evidence);
    all += rest * chance(row, baseline);
    without += rest;
  }
  return without > 0 ? all / without : 0;
}

/** The same finding with every value that an examiner would speak of in one breath with its own. */
export function asSpoken(evidence: Evidence): readonly Evidence[] {
  const { kind } = evidence.item;
  const { values } = evidence.scale;
  const own = groupOf(kind, values[evidence.value] ?? '');
  return values.flatMap((value, i) =>
    groupOf(kind, value) === own ? [{ ...evidence, value: i }] : [],
  );
}

export interface Argument {
  readonly explains: readonly Reason[];
  readonly against: readonly Reason[];
  readonly unexplained: readonly Reason[];
}

/** How much a finding must weigh, in natural logs, to be worth a word. */
const worthSaying = 0.6;
/** A way of beginning is called seldom below this chance; of two lesions neither is blamed for it. */
const seldom = 0.1;
/** A candidate's rows, at most this many, carry its argument. */
const carried = 12;

/**
 * The argument about one candidate. An abnormal finding is for it when it is likelier than in a
 * healthy body and left over when it is not; a normal finding is for it when it is likelier than
 * under the rivals, against it when it is less likely than in a healthy body.
 */
export function argue(
  model: Model,
  candidate: number,
  by: ReadonlyMap<number, readonly Weight[]>,
  rivals: readonly Weight[],
  evidence: readonly Evidence[],
  messages: LocalizeMessages,
): Argument {
  const own = [...(by.get(candidate) ?? [])].sort((a, b) => b.mass - a.mass).slice(0, carried);
  const explains: Point[] = [];
  const against: Point[] = [];
  const unexplained: Point[] = [];
  const [best] = own;
  if (best === undefined) return { explains: [], against: [], unexplained: [] };
  const healthy = model.lesions.findIndex(({ focus }) => focus.group === 'no-lesion');
  const isHealthy = candidate === healthy;
  const isPair = best.row >= model.singles;
  for (const one of evidence) {
    const { finding } = one;
    const spoken = asSpoken(one);
    const chance = (row: number, baseline: number): number =>
      spoken.reduce((sum, e) => sum + chanceIn(model, row, baseline, e), 0);
    const here = predicted(model, own, one);
    const broadly = predicted(model, own, one, chance);
    const normally =
      healthy >= 0
        ? predicted(model, own, one, (_row, baseline) => chance(healthy, baseline))
        : broadly;
    const elsewhere = rivals.length > 0 ? predicted(model, rivals, one) : here;
    const quality = one.item.kind === 'quality';
    const speak = (weight: number): Point => {
      const told = toldFor(model, best.row, spoken, false);
      return {
        evidence: one,
        why: quality ? qualityFor(told, messages) : whyFor(told, finding, messages),
        weight,
      };
    };
    const oppose = (weight: number): Point => {
      const told = toldFor(model, best.row, spoken, isNormal(finding) && !quality);
      return {
        evidence: one,
        why: quality ? qualityAgainst(told, messages) : whyAgainst(told, finding, messages),
        weight,
      };
    };
    const say = (why: string, weight: number): Point => ({ evidence: one, why, weight });
    const gain = Math.log(broadly / normally);
    const lead = Math.log(here / elsewhere);
    if (finding.kind === 'context') {
      const weight = finding.value === 'present' || finding.site === 'onset' ? lead : gain;
      if (weight > worthSaying) explains.push(speak(weight));
      else if (weight < -worthSaying && (finding.site !== 'onset' || (here < seldom && !isPair)))
        against.push(oppose(weight));
    } else if (isHealthy) {
      if (isNormal(finding) && !quality) {
        if (lead > worthSaying) explains.push(say(messages.why.normal, lead));
      } else if (lead < -worthSaying) unexplained.push(oppose(lead));
      else explains.push(say(messages.why.healthy, lead));
    } else if (quality || isAbnormal(finding)) {
      if (gain > worthSaying) explains.push(speak(gain));
      else unexplained.push(oppose(Math.min(lead, -0.1)));
    } else if (gain < -worthSaying) against.push(oppose(gain));
    else if (lead > worthSaying) explains.push(speak(lead));
  }
  return {
    explains: reasons(explains, messages),
    against: reasons(against, messages),
    unexplained: reasons(unexplained, messages),
  };
}

/** One finding's part in an argument, before those with one reason are told together. */
interface Point {
  readonly evidence: Evidence;
  readonly why: string;
  readonly weight: number;
}

/** Weights closer than this are one weight. */
const sameWeight = 1e-6;

/** The strongest first; of equals an order that is the same for left and right. */
function byStrength(a: Point, b: Point): number {
  const steps = (p: Point): number => Math.round(Math.abs(p.weight) / sameWeight);
  const place = ({ evidence: { item, value }, why }: Point): string =>
    `${item.kind}/${item.site}/${item.modality ?? ''}/${value}/${why}`;
  return steps(b) - steps(a) || (place(a) < place(b) ? -1 : place(a) > place(b) ? 1 : 0);
}

/** The strongest first; findings that share a reason are told in one breath. */
function reasons(points: readonly Point[], messages: LocalizeMessages): readonly Reason[] {
  const quality = ({ evidence: { item } }: Point): string | undefined =>
    item.kind === 'quality' ? item.site : undefined;
  const byWhy = new Map<string, Point[]>();
  for (const point of [...points].sort(byStrength)) {
    const shared = `${quality(point) ?? ''}: ${point.why}`;
    byWhy.set(shared, [...(byWhy.get(shared) ?? []), point]);
  }
  return [...byWhy.values()].flatMap((together): readonly Reason[] => {
    const [first] = together;
    if (first === undefined) return [];
    const findings = together.map(({ evidence }) => evidence.finding);
    const words = togetherWords(findings, quality(first), messages.places);
    const text = messages.reason(words, first.why, together.length > 1);
    return [{ finding: first.evidence.finding, text, weight: first.weight }];
  });
}

/**
 * Of two lesions together the one that foretells what was found more tells the reason for it; where
 * something normal speaks against both, the one that foretells it less.
 */
function toldFor(model: Model, row: number, spoken: readonly Evidence[], least: boolean): Told {
  const pick = (single: number): Told => {
    const way = model.courses[single];
    const lesion = model.lesions[way?.lesion ?? 0];
    if (way === undefined || lesion === undefined) throw new RangeError(`no row ${single}`);
    return { lesion, course: way.course };
  };
  if (row < model.singles) return pick(row);
  const a = model.rowA[row - model.singles] ?? 0;
  const b = model.rowB[row - model.singles] ?? 0;
  const chance = (single: number): number =>
    spoken.reduce((sum, e) => sum + chanceIn(model, single, 0, e), 0);
  return chance(a) >= chance(b) !== least ? pick(a) : pick(b);
}

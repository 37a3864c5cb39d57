import type { Evidence } from './evidence.ts';
import type { Model } from './model.ts';
import { groupOf, isAbnormal, isNormal } from './normal.ts';
import type { Posterior, Weight } from './posterior.ts';
import type { Reason } from './result.ts';
import { logTables } from './scale.ts';
import { type Told, whyAgainst, whyFor } from './why.ts';
import { findingWords } from './words.ts';

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
function asSpoken(evidence: Evidence): readonly Evidence[] {
  const { kind } = evidence.finding;
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
): Argument {
  const own = [...(by.get(candidate) ?? [])].sort((a, b) => b.mass - a.mass).slice(0, carried);
  const explains: Reason[] = [];
  const against: Reason[] = [];
  const unexplained: Reason[] = [];
  const [best] = own;
  if (best === undefined) return { explains, against, unexplained };
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
    const told = toldFor(model, best.row, one);
    const say = (why: string, weight: number): Reason => ({
      finding,
      text: `${findingWords(finding)}: ${why}`,
      weight,
    });
    const gain = Math.log(broadly / normally);
    const lead = Math.log(here / elsewhere);
    if (finding.kind === 'context') {
      const weight = finding.value === 'present' || finding.site === 'onset' ? lead : gain;
      if (weight > worthSaying) explains.push(say(whyFor(told, finding), weight));
      else if (weight < -worthSaying && (finding.site !== 'onset' || (here < seldom && !isPair)))
        against.push(say(whyAgainst(told, finding), weight));
    } else if (isHealthy) {
      if (isNormal(finding)) {
        if (lead > worthSaying) explains.push(say('normal', lead));
      } else if (lead < -worthSaying) unexplained.push(say(whyAgainst(told, finding), lead));
      else explains.push(say('within what healthy people show', lead));
    } else if (isAbnormal(finding)) {
      if (gain > worthSaying) explains.push(say(whyFor(told, finding), gain));
      else unexplained.push(say(whyAgainst(told, finding), Math.min(lead, -0.1)));
    } else if (gain < -worthSaying) against.push(say(whyAgainst(told, finding), gain));
    else if (lead > worthSaying) explains.push(say(whyFor(told, finding), lead));
  }
  const strongest = (a: Reason, b: Reason): number => Math.abs(b.weight) - Math.abs(a.weight);
  return {
    explains: explains.sort(strongest),
    against: against.sort(strongest),
    unexplained: unexplained.sort(strongest),
  };
}

/** Of two lesions together the one that does more to the item tells the reason. */
function toldFor(model: Model, row: number, evidence: Evidence): Told {
  const pick = (single: number): Told => {
    const way = model.courses[single];
    const lesion = model.lesions[way?.lesion ?? 0];
    if (way === undefined || lesion === undefined) throw new RangeError(`no row ${single}`);
    return { lesion, course: way.course };
  };
  if (row < model.singles) return pick(row);
  const a = model.rowA[row - model.singles] ?? 0;
  const b = model.rowB[row - model.singles] ?? 0;
  return chanceIn(model, a, 0, evidence) >= chanceIn(model, b, 0, evidence) ? pick(a) : pick(b);
}

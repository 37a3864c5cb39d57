import { checkFinding, type Finding } from '../exam/index.ts';
import { bedside } from './bedside.ts';
import { type Evidence, type Weighed, weigh } from './evidence.ts';
import type { Lesion } from './lesion.ts';
import { type Levels, levelsOf } from './levels.ts';
import { createModel, type Model } from './model.ts';
import { lesionName } from './name.ts';
import { nextTests } from './nextTest.ts';
import { isAbnormal } from './normal.ts';
import {
  addEvidence,
  emptySums,
  type Posterior,
  posteriorOf,
  type Sums,
  type Weight,
} from './posterior.ts';
import { argue, weightsBy } from './reason.ts';
import type { Caution, Hypothesis, Localization } from './result.ts';
import { slipCautions } from './slip.ts';
import { urgentCautions } from './urgent.ts';

/** How much is worked out and listed. */
export interface Depth {
  /** Hypotheses listed; the rest is `other`. */
  readonly listed: number;
  /** Of these, the first few get their reasons. */
  readonly argued: number;
  /** Tests proposed; 0 leaves them out. */
  readonly tests: number;
}

export const fullDepth: Depth = { listed: 12, argued: 5, tests: 5 };

/** Said where nothing that was examined could localize. */
export const nothingExamined = 'Nothing was examined that could localize.';

/** Said where no further test would be expected to part the sites, by how sure the first one is. */
export const enoughKnown =
  'Enough is known to tell these sites apart: no single bedside test would be expected to change the first one.';
export const bedsideExhausted =
  'No single bedside test would be expected to tell these sites further apart; what is left open needs other means.';
/** From here on the first site is taken to be told apart from the others. */
const settled = 0.75;

let shared: Model | undefined;
/** The one model of the whole body; made when first asked for. */
export function wholeModel(): Model {
  shared ??= createModel();
  return shared;
}

/**
 * Fills the tables for every item of the bedside examination, about half a second of work, so that
 * the first findings cost no more than the later ones. Safe to leave out.
 */
export function prepare(model: Model = wholeModel()): void {
  for (const item of bedside) model.column(item);
}

/**
 * Where the lesion is, from everything that was found.
 *
 * @param findings in the order they were recorded; of two about one item the later counts
 * @throws RangeError on a finding off the contract, naming it
 */
export function localize(findings: readonly Finding[], depth: Depth = fullDepth): Localization {
  return startLocalizer().add(findings).result(depth);
}

/** Keeps the running sums of an exam, so that one more finding costs one finding. */
export interface Localizer {
  readonly findings: readonly Finding[];
  /** A new localizer with these findings as well; this one stays as it is. */
  add(findings: readonly Finding[]): Localizer;
  /** The probabilities alone: what is shown after each finding. */
  ranking(listed?: number): Pick<Localization, 'hypotheses' | 'other'>;
  result(depth?: Depth): Localization;
}

export function startLocalizer(model: Model = wholeModel()): Localizer {
  return localizer(model, [], weigh([]), emptySums(model));
}

function localizer(
  model: Model,
  findings: readonly Finding[],
  weighed: Weighed,
  sums: Sums,
): Localizer {
  let known: Posterior | undefined;
  const posterior = (): Posterior => {
    known ??= posteriorOf(model, sums, weighed.age);
    return known;
  };
  return {
    findings,
    add(more) {
      more.forEach((finding, i) => {
        const checked = checkFinding(finding, `findings[${findings.length + i}]`);
        if (!checked.ok) throw new RangeError(`${checked.fault.path} ${checked.fault.message}`);
      });
      const all = [...findings, ...more];
      const next = weigh(all);
      const copy: Sums = {
        plain: Float64Array.from(sums.plain),
        byBaseline: sums.byBaseline.map((own) => Float64Array.from(own)),
        told: [...sums.told],
      };
      const before = new Map(weighed.evidence.map((e) => [identity(e), e]));
      const after = new Map(next.evidence.map((e) => [identity(e), e]));
      for (const [id, e] of before) if (!after.has(id)) addEvidence(model, copy, e, -1);
      for (const [id, e] of after) if (!before.has(id)) addEvidence(model, copy, e);
      return localizer(model, all, next, copy);
    },
    ranking: (listed = fullDepth.listed) =>
      rank(model, weighed, posterior(), { listed, argued: 0 }),
    result: (depth = fullDepth) => wholeResult(model, findings, weighed, posterior(), depth),
  };
}

const identity = (e: Evidence): string =>
  `${e.item.kind}/${e.item.site}/${e.item.side}/${e.item.modality ?? ''}=${e.value}`;

function rank(
  model: Model,
  weighed: Weighed,
  posterior: Posterior,
  { listed, argued }: Pick<Depth, 'listed' | 'argued'>,
): Pick<Localization, 'hypotheses' | 'other'> {
  const order = [...posterior.candidates.keys()]
    .sort((a, b) => (posterior.candidates[b] ?? 0) - (posterior.candidates[a] ?? 0) || a - b)
    .slice(0, listed);
  const by: ReadonlyMap<number, readonly Weight[]> =
    argued > 0 ? weightsBy(model, posterior) : new Map();
  const everyone = [...by.values()]
    .flat()
    .sort((a, b) => b.mass - a.mass)
    .slice(0, 60);
  const hypotheses = order.map((candidate, i): Hypothesis => {
    const { first, second } = model.candidates[candidate] ?? { first: 0, second: undefined };
    const one = lesionAt(model, first);
    const two = second === undefined ? undefined : lesionAt(model, second);
    const rivals = everyone.filter(({ row }) => model.owner[row] !== candidate);
    const argument =
      i < argued
        ? argue(model, candidate, by, rivals, weighed.evidence)
        : { explains: [], against: [], unexplained: [] };
    return {
      site: one.site,
      side: one.side,
      probability: posterior.candidates[candidate] ?? 0,
      name: candidateName(model, candidate),
      ...argument,
      ...(two === undefined ? {} : { sites: [one, two].map(({ site, side }) => ({ site, side })) }),
    };
  });
  const sum = hypotheses.reduce((total, { probability }) => total + probability, 0);
  return { hypotheses, other: Math.max(0, 1 - sum) };
}

function lesionAt(model: Model, index: number): Lesion {
  const lesion = model.lesions[index];
  if (lesion === undefined) throw new RangeError(`no lesion ${index}`);
  return lesion;
}

/** "L5 root, left", or two of them joined by "with". */
export function candidateName(model: Model, candidate: number): string {
  const { first, second } = model.candidates[candidate] ?? { first: 0, second: undefined };
  const names = [first, ...(second === undefined ? [] : [second])].map((i) =>
    lesionName(lesionAt(model, i)),
  );
  const name = names.join(' with ');
  return name.charAt(0).toUpperCase() + name.slice(1);
}

function wholeResult(
  model: Model,
  findings: readonly Finding[],
  weighed: Weighed,
  posterior: Posterior,
  depth: Depth,
): Localization {
  const examined = weighed.evidence.filter(({ finding }) => finding.kind !== 'context');
  const counted = weighed.evidence.map(({ finding }) => finding);
  const urgent = urgentCautions({ all: counted, share: shares(model, posterior) });
  if (examined.length === 0) {
    const replaced = slipCautions(model, posterior, weighed).filter(
      ({ because }) => because.length === 2,
    );
    return {
      hypotheses: [],
      other: 1,
      nextTests: [],
      cautions: [...urgent, ...replaced],
      nothing: nothingExamined,
    };
  }
  const ranked = rank(model, weighed, posterior, depth);
  const cautions: Caution[] = [
    ...urgent,
    ...notes(counted, ranked),
    ...slipCautions(model, posterior, weighed),
  ];
  const place = { now: 0, soon: 1, note: 2 };
  cautions.sort((a, b) => place[a.urgency] - place[b.urgency]);
  const levels: Levels = levelsOf(counted);
  const tests =
    depth.tests > 0
      ? nextTests(model, posterior, findings, (c) => candidateName(model, c), depth.tests)
      : [];
  const sure = (ranked.hypotheses[0]?.probability ?? 0) >= settled;
  return {
    ...ranked,
    nextTests: tests,
    cautions,
    levels,
    ...(depth.tests > 0 && tests.length === 0
      ? { enough: sure ? enoughKnown : bedsideExhausted }
      : {}),
  };
}

/** Probability of each group, and of each site, with both lesions of a pair counted. */
function shares(model: Model, posterior: Posterior): ReadonlyMap<string, number> {
  const share = new Map<string, number>();
  const add = (key: string, p: number): void => {
    share.set(key, (share.get(key) ?? 0) + p);
  };
  model.candidates.forEach(({ first, second }, c) => {
    const p = posterior.candidates[c] ?? 0;
    if (p < 1e-6) return;
    const keys = new Set<string>();
    for (const index of second === undefined ? [first] : [first, second]) {
      const { site, focus } = lesionAt(model, index);
      keys.add(site);
      keys.add(focus.group);
    }
    for (const key of keys) add(key, p);
  });
  return share;
}

/** Notes on how far the answer may be trusted. */
function notes(
  findings: readonly Finding[],
  ranked: Pick<Localization, 'hypotheses' | 'other'>,
): readonly Caution[] {
  const made: Caution[] = [];
  const note = (text: string, because: readonly Finding[]): void => {
    made.push({ urgency: 'note', text, because });
  };
  const [top] = ranked.hypotheses;
  const reflexes = findings.filter((f) => f.kind === 'reflex');
  const brisk = reflexes.filter((f) => f.value === '3+');
  const low = reflexes.filter((f) => f.value === '1+');
  const rest = findings.filter((f) => isAbnormal(f) && f.kind !== 'reflex');
  if (
    reflexes.length >= 4 &&
    rest.length === 0 &&
    (brisk.length === reflexes.length || low.length === reflexes.length)
  ) {
    note(
      brisk.length > 0
        ? 'Reflexes brisk alike everywhere, with nothing else abnormal, may be normal; thyroid, calcium and medicines are worth a question.'
        : 'Reflexes low alike everywhere, with nothing else abnormal, may be normal; try reinforcement, and think of thyroid and magnesium.',
      brisk.length > 0 ? brisk : low,
    );
  }
  if (
    top !== undefined &&
    top.site !== 'no-lesion' &&
    top.probability < 0.4 &&
    rest.length + brisk.length + low.length > 0
  ) {
    note('No site stands out yet; the proposed tests would help most.', []);
  }
  return made;
}

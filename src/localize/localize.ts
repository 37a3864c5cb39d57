import { checkFinding, type Finding } from '../exam/index.ts';
import { bedside } from './bedside.ts';
import { type Evidence, type Weighed, weigh } from './evidence.ts';
import type { Lesion } from './lesion.ts';
import { type Levels, levelsOf } from './levels.ts';
import { type LocalizeMessages, localizeMessages } from './messages/argument.ts';
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
export function localize(
  findings: readonly Finding[],
  depth: Depth = fullDepth,
  messages: LocalizeMessages = localizeMessages.en,
): Localization {
  return startLocalizer(wholeModel(), messages).add(findings).result(depth);
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

export function startLocalizer(
  model: Model = wholeModel(),
  messages: LocalizeMessages = localizeMessages.en,
): Localizer {
  return localizer({ model, messages }, [], weigh([]), emptySums(model));
}

/** What is reasoned with, and in which language it is told. */
interface Means {
  readonly model: Model;
  readonly messages: LocalizeMessages;
}

function localizer(
  means: Means,
  findings: readonly Finding[],
  weighed: Weighed,
  sums: Sums,
): Localizer {
  const { model } = means;
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
      return localizer(means, all, next, copy);
    },
    ranking: (listed = fullDepth.listed) =>
      rank(means, weighed, posterior(), { listed, argued: 0 }),
    result: (depth = fullDepth) => wholeResult(means, findings, weighed, posterior(), depth),
  };
}

const identity = (e: Evidence): string =>
  `${e.item.kind}/${e.item.site}/${e.item.side}/${e.item.modality ?? ''}=${e.value}`;

function rank(
  { model, messages }: Means,
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
        ? argue(model, candidate, by, rivals, weighed.evidence, messages)
        : { explains: [], against: [], unexplained: [] };
    return {
      site: one.site,
      side: one.side,
      probability: posterior.candidates[candidate] ?? 0,
      name: candidateName(model, candidate, messages),
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
function candidateName(model: Model, candidate: number, messages: LocalizeMessages): string {
  const { first, second } = model.candidates[candidate] ?? { first: 0, second: undefined };
  const names = [first, ...(second === undefined ? [] : [second])].map((i) =>
    lesionName(lesionAt(model, i), messages),
  );
  return messages.candidate(names);
}

function wholeResult(
  means: Means,
  findings: readonly Finding[],
  weighed: Weighed,
  posterior: Posterior,
  depth: Depth,
): Localization {
  const { model, messages } = means;
  const examined = weighed.evidence.filter(({ finding }) => finding.kind !== 'context');
  const counted = weighed.evidence.map(({ finding }) => finding);
  const urgent = urgentCautions({ all: counted, share: shares(model, posterior) }, messages);
  if (examined.length === 0) {
    const replaced = slipCautions(model, posterior, weighed, messages).filter(
      ({ because }) => because.length === 2,
    );
    return {
      hypotheses: [],
      other: 1,
      nextTests: [],
      cautions: [...urgent, ...replaced],
      nothing: messages.text.nothing,
    };
  }
  const ranked = rank(means, weighed, posterior, depth);
  const cautions: Caution[] = [
    ...urgent,
    ...notes(counted, ranked, messages),
    ...slipCautions(model, posterior, weighed, messages),
  ];
  const place = { now: 0, soon: 1, note: 2 };
  cautions.sort((a, b) => place[a.urgency] - place[b.urgency]);
  const levels: Levels = levelsOf(counted);
  const tests =
    depth.tests > 0
      ? nextTests(
          model,
          posterior,
          findings,
          (c) => candidateName(model, c, messages),
          depth.tests,
          messages,
        )
      : [];
  const sure = (ranked.hypotheses[0]?.probability ?? 0) >= settled;
  return {
    ...ranked,
    nextTests: tests,
    cautions,
    levels,
    ...(depth.tests > 0 && tests.length === 0
      ? { enough: sure ? messages.text.enough : messages.text.exhausted }
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
  { text }: LocalizeMessages,
): readonly Caution[] {
  const made: Caution[] = [];
  const note = (told: string, because: readonly Finding[]): void => {
    made.push({ urgency: 'note', text: told, because });
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
    note(brisk.length > 0 ? text.briskAlike : text.lowAlike, brisk.length > 0 ? brisk : low);
  }
  if (
    top !== undefined &&
    top.site !== 'no-lesion' &&
    top.probability < 0.4 &&
    rest.length + brisk.length + low.length > 0
  ) {
    note(text.noSite, []);
  }
  return made;
}

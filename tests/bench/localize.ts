import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import {
  type Finding,
  kinds,
  laterality,
  laterals,
  modalities,
  type Side,
  vocabulary,
} from '../../src/exam/index.ts';
import { bedside } from '../../src/localize/bedside.ts';
import { weigh } from '../../src/localize/evidence.ts';
import { type Hypothesis, startLocalizer } from '../../src/localize/index.ts';
import { type Item, itemId, scaleOf } from '../../src/localize/item.ts';
import { lesions } from '../../src/localize/lesion.ts';
import { createModel, type Model } from '../../src/localize/model.ts';
import { nextTests } from '../../src/localize/nextTest.ts';
import { addEvidence, emptySums, posteriorOf } from '../../src/localize/posterior.ts';
import { accepts, type Case, readCases } from '../localize/caseText.ts';
import { calibration, random } from '../localize/simulate.ts';
import { byLookUp, byNaiveBayes } from '../localize/textbook.ts';
import { option } from './option.ts';

/** Where the case files lie: beside this module, or, when it runs from a bundle, in the working tree. */
function ownCases(): string {
  const beside = fileURLToPath(new URL('../localize/cases/', import.meta.url));
  return existsSync(beside) ? beside : 'tests/localize/cases';
}

/**
 * Measures localization: every miss on the case files and why, two simpler methods beside it,
 * calibration on simulated exams, and how the cost grows.
 *
 * @param args `--cases DIR`, `--exams N` (20000), `--quick` (2000 exams)
 */
export async function bench(args: readonly string[]): Promise<string> {
  const exams = args.includes('--quick') ? 2000 : Number(option(args, '--exams') ?? 20_000);
  const lines: string[] = [];
  lines.push(...accuracy(option(args, '--cases') ?? ownCases()), '');
  lines.push(...calibrated(exams), '');
  lines.push(...speed());
  return lines.join('\n');
}

interface Score {
  strict: number;
  first: number;
  three: number;
}
const score = (): Score => ({ strict: 0, first: 0, three: 0 });
const count = (s: Score, rank: number): void => {
  s.strict++;
  if (rank === 0) s.first++;
  if (rank >= 0 && rank < 3) s.three++;
};
const percent = (part: number, whole: number): string =>
  `${((100 * part) / Math.max(1, whole)).toFixed(1)} %`.padStart(8);
const shown = (s: Score): string => `${percent(s.first, s.strict)} ${percent(s.three, s.strict)}`;

function accuracy(folder: string): readonly string[] {
  const lines = [
    'Cases (strict): first, among the first three',
    `${'file'.padEnd(26)} cases  ${'ours'.padEnd(18)}${'naive Bayes'.padEnd(18)}look-up`,
  ];
  const misses: string[] = [];
  const all = [score(), score(), score()] as const;
  for (const file of readdirSync(folder)
    .filter((f) => f.endsWith('.txt'))
    .sort()) {
    const here = [score(), score(), score()] as const;
    for (const one of readCases(readFileSync(`${folder}/${file}`, 'utf8'), file)) {
      if (!one.strict) continue;
      const { hypotheses } = startLocalizer().add(one.findings).ranking(40);
      const ranks = [
        hypotheses.findIndex((h) => accepts(one.accept, h)),
        rankIn(one, byNaiveBayes(one.findings)),
        rankIn(one, byLookUp(one.findings)),
      ];
      ranks.forEach((rank, i) => {
        for (const s of [here[i], all[i]]) if (s !== undefined) count(s, rank);
      });
      if (ranks[0] !== 0) misses.push(...miss(one, ranks[0] ?? -1));
    }
    lines.push(
      `${file.padEnd(26)} ${String(here[0].strict).padStart(5)}  ${here.map(shown).join(' ')}`,
    );
  }
  lines.push(
    `${'all'.padEnd(26)} ${String(all[0].strict).padStart(5)}  ${all.map(shown).join(' ')}`,
  );
  lines.push('', misses.length === 0 ? 'No strict case is missed.' : 'Missed, and why:', ...misses);
  return lines;
}

/** The simpler methods name one level for a region, so a level next to an accepted one counts for them. */
export function rankIn(
  one: Case,
  ranked: readonly { readonly site: string; readonly side: string }[],
): number {
  return ranked.findIndex((h) => accepts(one.accept, h) || near(one, h));
}
function near(
  one: Case,
  { site, side }: { readonly site: string; readonly side: string },
): boolean {
  if (!site.startsWith('cord:')) return false;
  const [, , pattern] = site.split(':');
  return lesions.some(
    (l) =>
      l.site.endsWith(`:${pattern}`) &&
      l.site.slice(0, 6) === site.slice(0, 6) &&
      accepts(one.accept, { site: l.site, side }),
  );
}

function miss(one: Case, rank: number): readonly string[] {
  const { hypotheses } = startLocalizer()
    .add(one.findings)
    .result({ listed: 40, argued: 40, tests: 0 });
  const [top] = hypotheses;
  const wanted = rank < 0 ? undefined : hypotheses[rank];
  const why = (h: Hypothesis | undefined): string =>
    [...(h?.unexplained ?? []), ...(h?.against ?? [])]
      .slice(0, 3)
      .map((r) => r.text)
      .join('; ') || 'nothing against it';
  return [
    `  ${one.id}: place ${rank < 0 ? 'beyond 40' : rank + 1} of ${one.findings.length} findings`,
    `    first: ${top?.name} ${top?.probability.toFixed(2)} (${why(top)})`,
    `    wanted: ${wanted === undefined ? 'not listed' : `${wanted.name} ${wanted.probability.toFixed(2)} (${why(wanted)})`}`,
  ];
}

function calibrated(exams: number): readonly string[] {
  const model = createModel();
  const tenths = calibration(model, exams, 20);
  const worst = Math.max(
    ...tenths.filter((t) => t.count > 0).map((t) => Math.abs(t.stated - t.happened)),
  );
  return [
    `Calibration on ${exams} simulated incomplete exams: stated against happened`,
    ...tenths.map(
      (t) =>
        `  ${t.from.toFixed(1)}-${(t.from + 0.1).toFixed(1)}  ${(100 * t.stated).toFixed(1).padStart(5)} %  ${(100 * t.happened).toFixed(1).padStart(5)} %  n=${t.count}`,
    ),
    `  largest difference ${(100 * worst).toFixed(1)} points`,
  ];
}

const median = (times: readonly number[]): number =>
  [...times].sort((a, b) => a - b)[times.length >> 1] ?? 0;

function timed(runs: number, work: () => void): number {
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return median(times);
}

/** Every item of the vocabulary, on every side and in every modality: about ten times a full exam. */
const everyItem: readonly Item[] = kinds.flatMap((kind) =>
  vocabulary[kind].sites.flatMap((site) => {
    if (site === 'age') return [];
    const sides: readonly Side[] = laterality(kind, site) === 'midline' ? ['midline'] : laterals;
    return sides.flatMap((side): readonly Item[] =>
      kind === 'sensation'
        ? modalities.map((modality) => ({ kind, site, side, modality }))
        : [{ kind, site, side }],
    );
  }),
);

/** Random findings about `n` items: those of the bedside first, then all the others there are. */
function anyFindings(n: number): readonly Finding[] {
  const next = random(3);
  const shuffled = (items: readonly Item[]): readonly Item[] =>
    items
      .map((item) => [next(), item] as const)
      .sort((a, b) => a[0] - b[0])
      .map(([, item]) => item);
  const near = new Set(bedside.map(itemId));
  const rest = everyItem.filter((item) => !near.has(itemId(item)));
  return [...shuffled(bedside), ...shuffled(rest)].slice(0, n).map((item) => {
    const values = scaleOf(item).values;
    const value = values[Math.floor(next() * values.length)] ?? '';
    return { ...item, value: value === 'few' ? 'unsustained' : value } as unknown as Finding;
  });
}

function infer(model: Model, findings: readonly Finding[]): void {
  const { evidence, age } = weigh(findings);
  const sums = emptySums(model);
  for (const e of evidence) addEvidence(model, sums, e);
  posteriorOf(model, sums, age);
}

function speed(): readonly string[] {
  const lines = ['Speed on one core (median, tables warm)'];
  const started = performance.now();
  const model = createModel();
  lines.push(
    `  building the model: ${(performance.now() - started).toFixed(0)} ms, ${model.rows} rows, ${model.candidates.length} hypotheses`,
  );
  const cold = performance.now();
  for (const item of bedside) model.column(item);
  lines.push(
    `  filling the columns of all ${bedside.length} bedside items, once: ${(performance.now() - cold).toFixed(0)} ms`,
  );
  const exam = anyFindings(120);
  const local = startLocalizer(model);
  infer(model, exam);
  lines.push(`  120 findings with pairs: ${timed(15, () => infer(model, exam)).toFixed(1)} ms`);
  const most = local.add(exam.slice(0, 119));
  most.ranking();
  const last = exam.slice(119);
  lines.push(
    `  one more finding, ranked again: ${timed(25, () => most.add(last).ranking()).toFixed(1)} ms`,
  );
  const some = anyFindings(20);
  const { evidence, age } = weigh(some);
  const sums = emptySums(model);
  for (const e of evidence) addEvidence(model, sums, e);
  const posterior = posteriorOf(model, sums, age);
  nextTests(model, posterior, some, String, 5);
  lines.push(
    `  next best test after 20 findings: ${timed(15, () => nextTests(model, posterior, some, String, 5)).toFixed(1)} ms`,
  );
  lines.push('', 'Growth with findings');
  for (const n of [12, 60, 120, 240, 600, 1200]) {
    const given = anyFindings(n);
    infer(model, given);
    lines.push(
      `  ${String(given.length).padStart(4)} findings: ${timed(7, () => infer(model, given)).toFixed(1)} ms`,
    );
  }
  lines.push('Growth with hypotheses (120 findings)');
  for (const times of [1, 2, 5, 10]) {
    const wide = manifold(model, times);
    infer(wide, exam);
    lines.push(
      `  ${String(wide.candidates.length).padStart(6)} hypotheses, ${String(wide.rows).padStart(6)} rows: ${timed(5, () => infer(wide, exam)).toFixed(1)} ms`,
    );
  }
  return lines;
}

/** The model with every hypothesis several times over, each a candidate of its own. */
function manifold(model: Model, times: number): Model {
  const columns = new Map<string, Uint8Array>();
  const copies = Array.from({ length: times }, (_, t) => t);
  return {
    ...model,
    rows: model.rows * times,
    candidates: copies.flatMap(() => model.candidates),
    owner: Uint16Array.from(
      copies.flatMap((t) => [...model.owner].map((c) => c + t * model.candidates.length)),
    ),
    start: Float64Array.from(copies.flatMap(() => [...model.start])),
    column(item) {
      const known = columns.get(itemId(item));
      if (known !== undefined) return known;
      const own = model.column(item);
      const column = new Uint8Array(own.length * times);
      for (const t of copies) column.set(own, t * own.length);
      columns.set(itemId(item), column);
      return column;
    },
  };
}

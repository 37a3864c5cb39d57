import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { calibrations } from '../../src/app/calibration/index.ts';
import {
  type Calibration,
  type Curve,
  certaintyOf,
  type Evidence,
  type Plane,
  scores,
  scoresOn,
} from '../../src/interpret/index.ts';
import { option } from './option.ts';

interface Trial extends Evidence {
  readonly kind: 'right' | 'wrong' | 'talk';
  /** Something came of it, or might have: it was not passed over. */
  readonly attended: boolean;
}

/** Wrong records allowed, as a share of all utterances: one in two hundred. */
const allowed = 1 / 200;

/** What is less likely than this is asked about, whatever the recordings at hand would allow. */
const least = 0.9;

/**
 * Reads calibration off measurements: files of what `hearing --phrases --scores` printed, on phrases
 * that no demo exam holds. Prints the curves, and how many would be recorded, asked and wrong at
 * each threshold, and the plane of what was said where it is hard to hear; `--write NAME` puts the curves into
 * src/app/calibration/NAME.json.
 */
export async function bench(args: readonly string[]): Promise<string> {
  const name = option(args, '--write') ?? '';
  const files = args.filter((arg) => !arg.startsWith('--') && arg !== name);
  if (files.length === 0) return 'calibrate needs files that `hearing --phrases --scores` printed';
  const texts = await Promise.all(files.map((file) => readFile(file, 'utf8')));
  const trials = texts.flatMap((text) => text.split('\n').flatMap(trialOf));
  // The measurements hold for what was counted with them.
  const { unheard = 0, attend } =
    new Map<string, Calibration>(Object.entries(calibrations)).get(name) ?? calibrations.both;
  const said = trials.filter(({ kind }) => kind !== 'talk');
  // What no sentence fits is passed over whatever the curve; what any speech could not follow is sure.
  const exam = fitted(
    trials.flatMap(({ advantage: x, kind }) =>
      Number.isFinite(x) ? [{ x, yes: kind !== 'talk' }] : [],
    ),
  );
  const slots = fittedWithLapses(
    said.flatMap(({ margin: x, kind }) =>
      x !== undefined && Number.isFinite(x) ? [{ x, yes: kind === 'right' }] : [],
    ),
  );
  const confidence = ({ advantage, margin }: Trial): number =>
    at(exam, advantage) * (margin === undefined ? 1 : at(slots, margin));
  const rows = ['threshold   recorded right   recorded wrong   recorded of talk'];
  let record = 0.99;
  for (let percent = 99; percent >= 50; percent--) {
    const threshold = percent / 100;
    const recorded = trials.filter(
      (trial) => at(exam, trial.advantage) >= attend && confidence(trial) >= threshold,
    );
    const of = (kind: Trial['kind']): number => recorded.filter((t) => t.kind === kind).length;
    if (percent % 5 === 0 || percent > 95) {
      rows.push(
        `${threshold.toFixed(2)}   ${of('right')} of ${said.length}   ${of('wrong')}   ${of('talk')}`,
      );
    }
    const amiss = of('wrong') + of('talk');
    if (amiss / trials.length <= allowed && threshold >= least) record = threshold;
  }
  const calibration: Calibration = { exam, slots, record, attend, unheard };
  if (name !== '') {
    const file = fileURLToPath(new URL(`../../src/app/calibration/${name}.json`, import.meta.url));
    await writeFile(file, `${JSON.stringify(calibration, null, 2)}\n`);
  }
  return [...rows, JSON.stringify(calibration), ...whereHard(trials)].join('\n');
}

/** What scores mean where it is hard to hear: the plane of greatest likelihood, and what its thresholds would record. */
function whereHard(trials: readonly Trial[]): readonly string[] {
  const calibration: Calibration = calibrations.both;
  const { hard } = calibration;
  const among = trials.filter((trial) => trial.hard === true);
  const attended = among.filter((one) => one.attended);
  if (hard === undefined || attended.length === 0) return [];
  const { start, weights } = logistic(
    attended.map((one) => {
      const given = scoresOn(hard.right, one);
      return { xs: scores.map((score) => given[score]), yes: one.kind === 'right' };
    }),
  );
  const terms = scores.map((score, i) => [
    score,
    { ...hard.right[score], weight: Number((weights[i] ?? 0).toFixed(4)) },
  ]);
  const right: Plane = { start: Number(start.toFixed(3)), ...Object.fromEntries(terms) };
  const rows = ['', `hard to hear: ${among.length}`, 'threshold   right   wrong   talk'];
  for (let percent = 98; percent >= 88; percent--) {
    const stricter = { ...calibration, hard: { ...hard, right, record: percent / 100 } };
    const sure = attended.filter((one) => certaintyOf(one, stricter).certainty === 'sure');
    const of = (kind: Trial['kind']): number => sure.filter((one) => one.kind === kind).length;
    rows.push(`${(percent / 100).toFixed(2)}   ${of('right')}   ${of('wrong')}   ${of('talk')}`);
  }
  return [...rows, JSON.stringify(right)];
}

function trialOf(line: string): readonly Trial[] {
  if (!line.startsWith('{"advantage"')) return [];
  const { advantage, margin, weakest, hard, kind, outcome } = JSON.parse(line);
  const number = (value: number | undefined): number | undefined =>
    value === undefined || Math.abs(value) < 1e9 ? value : value * Number.POSITIVE_INFINITY;
  return [
    {
      advantage: number(advantage) ?? Number.NaN,
      margin: number(margin),
      weakest,
      hard,
      kind,
      attended: outcome !== 'ignored',
    },
  ];
}

const at = ({ middle, slope }: Curve, x: number): number =>
  1 / (1 + Math.exp(-slope * (x - middle)));

interface Point {
  readonly x: number;
  readonly yes: boolean;
  /** How far it counts, 0 to 1. */
  readonly weight?: number;
}

/**
 * The same where some are wrong for reasons that x cannot show (a word that was not heard at all): how
 * likely each wrong one is such a one is told from the curve, and the curve from the others, in turn.
 */
function fittedWithLapses(points: readonly Point[]): Curve {
  let curve = fitted(points);
  let lapses = 0.01;
  for (let turn = 0; turn < 30; turn++) {
    const weighed = points.map((point) => {
      const byCurve = 1 - at(curve, point.x);
      return point.yes ? point : { ...point, weight: byCurve / (byCurve + lapses) };
    });
    const lapsed = weighed.reduce((sum, { weight = 1 }) => sum + 1 - weight, 0);
    lapses = Math.max(1e-4, lapsed / Math.max(1, points.length));
    curve = fitted(weighed);
  }
  return curve;
}

/** A logistic curve of greatest likelihood. */
function fitted(points: readonly Point[]): Curve {
  const { start, weights } = logistic(points.map(({ x, ...rest }) => ({ xs: [x], ...rest })));
  const [slope = 0] = weights;
  return { middle: Number((-start / slope).toFixed(3)), slope: Number(slope.toFixed(4)) };
}

interface Row extends Omit<Point, 'x'> {
  readonly xs: readonly number[];
}

/** A logistic plane of greatest likelihood, by Newton's steps, drawn a little towards flat. */
function logistic(rows: readonly Row[]): {
  readonly start: number;
  readonly weights: readonly number[];
} {
  const count = Math.max(1, rows.length);
  const width = rows[0]?.xs.length ?? 0;
  const columns = Array.from({ length: width }, (_, k) => rows.map(({ xs }) => xs[k] ?? 0));
  const means = columns.map((column) => column.reduce((sum, x) => sum + x, 0) / count);
  const spreads = columns.map(
    (column, k) =>
      Math.sqrt(column.reduce((sum, x) => sum + (x - (means[k] ?? 0)) ** 2, 0) / count) || 1,
  );
  const points = rows.map(({ xs, yes, weight = 1 }) => ({
    z: [1, ...xs.map((x, k) => (x - (means[k] ?? 0)) / (spreads[k] ?? 1))],
    y: yes ? 1 : 0,
    weight,
  }));
  const ridge = 0.5;
  let w = new Array<number>(width + 1).fill(0);
  for (let turn = 0; turn < 50; turn++) {
    const slope = w.map((b, i) => (i === 0 ? 0 : -ridge * b));
    const bend = w.map((_, i) => w.map((_, j): number => (i !== j ? 0 : i === 0 ? 1e-9 : ridge)));
    for (const { z, y, weight } of points) {
      const p = 1 / (1 + Math.exp(-z.reduce((sum, one, i) => sum + one * (w[i] ?? 0), 0)));
      for (const [i, a] of z.entries()) {
        slope[i] = (slope[i] ?? 0) + weight * (y - p) * a;
        const row = bend[i] ?? [];
        for (const [j, b] of z.entries()) row[j] = (row[j] ?? 0) + weight * p * (1 - p) * a * b;
      }
    }
    const step = solved(bend, slope);
    w = w.map((b, i) => b + (step[i] ?? 0));
  }
  const weights = w.slice(1).map((b, k) => b / (spreads[k] ?? 1));
  const start = weights.reduce((sum, b, k) => sum - b * (means[k] ?? 0), w[0] ?? 0);
  return { start, weights };
}

/** The x of `a x = b`, of a matrix that is symmetric and positive (Gauss). */
function solved(a: readonly (readonly number[])[], b: readonly number[]): readonly number[] {
  const [[first = 1, ...more] = [], ...below] = a;
  const [right = 0, ...rights] = b;
  if (below.length === 0) return [right / first];
  const factors = below.map(([head = 0]) => head / first);
  const rest = solved(
    below.map(([, ...row], i) => row.map((x, k) => x - (factors[i] ?? 0) * (more[k] ?? 0))),
    rights.map((x, i) => x - (factors[i] ?? 0) * right),
  );
  return [(right - more.reduce((sum, x, k) => sum + x * (rest[k] ?? 0), 0)) / first, ...rest];
}

import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { calibrations } from '../../src/app/calibration/index.ts';
import type { Calibration, Curve } from '../../src/interpret/index.ts';
import { option } from './option.ts';

interface Trial {
  readonly advantage: number;
  readonly margin: number | undefined;
  readonly kind: 'right' | 'wrong' | 'talk';
}

/** Below this probability of examination speech nothing is asked. */
const attend = 0.5;

/** Wrong records allowed, as a share of all utterances: one in two hundred. */
const allowed = 1 / 200;

/** What is less likely than this is asked about, whatever the recordings at hand would allow. */
const least = 0.9;

/**
 * Reads calibration off measurements: files of what `hearing --phrases --scores` printed, on phrases
 * that no demo exam holds. Prints the curves, and how many would be recorded, asked and wrong at
 * each threshold; `--write NAME` puts them into src/app/calibration/NAME.json.
 */
export async function bench(args: readonly string[]): Promise<string> {
  const name = option(args, '--write') ?? '';
  const files = args.filter((arg) => !arg.startsWith('--') && arg !== name);
  if (files.length === 0) return 'calibrate needs files that `hearing --phrases --scores` printed';
  const texts = await Promise.all(files.map((file) => readFile(file, 'utf8')));
  const trials = texts.flatMap((text) => text.split('\n').flatMap(trialOf));
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
  // The measurements hold for what was counted with them.
  const { unheard = 0 } =
    new Map<string, Calibration>(Object.entries(calibrations)).get(name) ?? calibrations.both;
  const calibration: Calibration = { exam, slots, record, attend, unheard };
  if (name !== '') {
    const file = fileURLToPath(new URL(`../../src/app/calibration/${name}.json`, import.meta.url));
    await writeFile(file, `${JSON.stringify(calibration, null, 2)}\n`);
  }
  return [...rows, JSON.stringify(calibration)].join('\n');
}

function trialOf(line: string): readonly Trial[] {
  if (!line.startsWith('{"advantage"')) return [];
  const { advantage, margin, kind } = JSON.parse(line);
  const number = (value: number | undefined): number | undefined =>
    value === undefined || Math.abs(value) < 1e9 ? value : value * Number.POSITIVE_INFINITY;
  return [{ advantage: number(advantage) ?? Number.NaN, margin: number(margin), kind }];
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

/** A logistic curve of greatest likelihood, by Newton's steps, drawn a little towards flat. */
function fitted(points: readonly Point[]): Curve {
  const mean = points.reduce((sum, { x }) => sum + x, 0) / Math.max(1, points.length);
  const spread =
    Math.sqrt(
      points.reduce((sum, { x }) => sum + (x - mean) ** 2, 0) / Math.max(1, points.length),
    ) || 1;
  let a = 0;
  let b = 0;
  const ridge = 0.5;
  for (let turn = 0; turn < 50; turn++) {
    let [ga, gb, haa, hab, hbb] = [0, -ridge * b, 1e-9, 0, ridge];
    for (const { x, yes, weight = 1 } of points) {
      const z = (x - mean) / spread;
      const p = 1 / (1 + Math.exp(-(a + b * z)));
      const w = weight * p * (1 - p);
      ga += weight * ((yes ? 1 : 0) - p);
      gb += weight * ((yes ? 1 : 0) - p) * z;
      haa += w;
      hab += w * z;
      hbb += w * z * z;
    }
    const det = haa * hbb - hab * hab;
    a += (hbb * ga - hab * gb) / det;
    b += (haa * gb - hab * ga) / det;
  }
  const slope = b / spread;
  return { middle: Number((mean - a / slope).toFixed(3)), slope: Number(slope.toFixed(4)) };
}

import {
  clonusValues,
  contextValues,
  coordinationValues,
  gaitValues,
  mrcGrades,
  onsetValues,
  plantarValues,
  reflexGrades,
  sensationValues,
  signValues,
  superficialValues,
  toneValues,
} from '../exam/index.ts';
import { type Baseline, baselines } from './baseline.ts';
import { chanceCodes, chanceOf, either, stepOf } from './grid.ts';

/**
 * A kind of finding as the inference sees it. What a lesion does to an item is one of a few states,
 * told by a code; a state gives a distribution over the values an examiner may report.
 */
export interface Scale {
  readonly id: string;
  readonly codes: number;
  readonly values: readonly string[];
  /** The distribution over `values`, examiner's noise included, adding to 1. */
  chances(code: number, baseline: Baseline): readonly number[];
  /** The state when two lesions act on the same item. */
  combine(a: number, b: number): number;
  /** Whether the patient's baseline matters. */
  readonly varies: boolean;
}

/**
 * Anything may be misheard, mistaken or written to the wrong side: this share of findings is taken
 * to be unrelated to the patient's state (from memory; no published rate for a whole exam).
 */
export const slipShare = 0.012;
/** A grade of strength is a number given on the spot, and seldom a wrong one (from memory). */
const slipInStrength = 0.004;
/** What the patient tells is asked plainly and seldom written down wrong (from memory). */
const slipInHistory = 0.001;
/** A named sign is looked for on purpose (from memory). */
const slipInSigns = 0.006;

function withSlip(chances: readonly number[], slip = slipShare): readonly number[] {
  const sum = chances.reduce((a, b) => a + b, 0);
  return chances.map((p) => (1 - slip) * (p / sum) + slip / chances.length);
}

// ---- strength ----

const lossSteps = 20;
const patchSteps = 6;

/** Typical grade on the MRC ladder (index 0 to 10) for a share of the muscle lost (from memory). */
const gradeAt: readonly (readonly [loss: number, grade: number])[] = [
  [0, 9.6],
  [0.1, 9.1],
  [0.25, 8.4],
  [0.4, 7.7],
  [0.55, 7],
  [0.7, 6],
  [0.8, 4.8],
  [0.9, 3],
  [1, 0.7],
];

function typicalGrade(loss: number): number {
  for (let i = 1; i < gradeAt.length; i++) {
    const [x1, y1] = gradeAt[i] ?? [1, 0];
    const [x0, y0] = gradeAt[i - 1] ?? [0, 10];
    if (loss <= x1) return y0 + ((y1 - y0) * (loss - x0)) / (x1 - x0);
  }
  return 0.7;
}

/** 3-, 3+ and 5- are seldom used; 4 most (from memory). */
const usage: readonly number[] = [1, 0.9, 1, 0.35, 1, 0.5, 0.7, 1.5, 1, 0.35];

/** Chance that a muscle which has lost this much is still graded 5. */
const gradedFull = (loss: number): number =>
  loss === 0 ? 0.955 : Math.max(0.002, 0.9 * Math.exp(-5.5 * loss) - 0.004);

function gradesFor(loss: number): readonly number[] {
  const centre = typicalGrade(loss);
  const spread = loss === 0 ? 1 : loss > 0.92 ? 1.4 : 2;
  // Mostly near the typical grade, now and then far from it: muscles of one patient differ.
  const bell = (grade: number, width: number): number =>
    Math.exp(-0.5 * ((grade - centre) / width) ** 2) / width;
  const tail = loss === 0 ? 0.03 : 0.15;
  const weights = usage.map(
    (u, grade) => u * ((1 - tail) * bell(grade, spread) + tail * bell(grade, 3)),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  const full = gradedFull(loss);
  return [...weights.map((w) => ((1 - full) * w) / sum), full];
}

const patchy = (chance: number): readonly number[] => {
  const weak = [0.3, 0.5, 0.7].map(gradesFor);
  const none = gradesFor(0);
  return none.map(
    (p, i) =>
      (1 - chance) * p + chance * weak.reduce((sum, w) => sum + (w[i] ?? 0) / weak.length, 0),
  );
};

/** Code of a strength state: a share lost, or a chance that this muscle is among those struck. */
export function strengthCode(loss: number, patchyChance = 0): number {
  if (patchyChance > 0.08) return lossSteps + stepOf(patchyChance, patchSteps);
  return stepOf(loss, lossSteps);
}
const lossOfCode = (code: number): number =>
  code < lossSteps ? code / (lossSteps - 1) : ((code - lossSteps) / (patchSteps - 1)) * 0.6;

const strength: Scale = {
  id: 'strength',
  codes: lossSteps + patchSteps,
  values: mrcGrades,
  varies: false,
  chances: (code) =>
    withSlip(
      code < lossSteps
        ? gradesFor(code / (lossSteps - 1))
        : patchy((code - lossSteps) / (patchSteps - 1)),
      slipInStrength,
    ),
  combine(a, b) {
    if (a === 0) return b;
    if (b === 0) return a;
    return stepOf(either(lossOfCode(a), lossOfCode(b)), lossSteps);
  },
};

// ---- reflexes ----

const downSteps = 8;
const upSteps = 5;
const arcCode = (down: number, up: number): number =>
  stepOf(down, downSteps) * upSteps + stepOf(up, upSteps);
const arcOf = (code: number): readonly [down: number, up: number] => [
  Math.floor(code / upSteps) / (downSteps - 1),
  (code % upSteps) / (upSteps - 1),
];
export const reflexCode = arcCode;

/** Grades of healthy people by baseline, 0 to 4+ (from memory; 1+ and 3+ may be normal, Walker 1990). */
const healthy: Readonly<Record<'usual' | 'brisk' | 'low' | 'gone', readonly number[]>> = {
  usual: [0.004, 0.05, 0.9, 0.045, 0.001],
  brisk: [0.001, 0.01, 0.2, 0.77, 0.019],
  low: [0.06, 0.7, 0.235, 0.005, 0],
  gone: [0.75, 0.2, 0.05, 0, 0],
};

/** Chance that two examiners are one grade apart: observers agree moderately (Litvan 1996, Manschot 1998). */
const neighbour = 0.04;

function releaseBy(up: number, from: readonly number[]): readonly number[] {
  const stay = up === 0 ? 1 : Math.max(0.08, (1 - up) ** 1.7);
  const two = up ** 3 * 0.42;
  const one = 1 - stay - two;
  return from.map((_, g) => {
    const below = from[g - 1] ?? 0;
    const twoBelow = from[g - 2] ?? 0;
    const here = from[g] ?? 0;
    if (g < 4) return here * stay + below * one + twoBelow * two;
    return here + below * (one + two) + twoBelow * two;
  });
}

function interruptBy(down: number, from: readonly number[]): readonly number[] {
  const stay = down === 0 ? 1 : Math.max(0.02, (1 - down) ** 1.7);
  const gone = 0.88 * down ** 2.2;
  const less = 1 - stay - gone;
  return from.map((_, g) => {
    const here = from[g] ?? 0;
    const above = from[g + 1] ?? 0;
    const kept = here * stay + above * less;
    // Whatever was there goes: to nothing outright, or one step down; from 1+ a step is nothing too.
    return g === 0 ? here + gone * (1 - here) + (from[1] ?? 0) * less : kept;
  });
}

function blur(from: readonly number[]): readonly number[] {
  return from.map((here, g) => {
    const stay = 1 - (g === 0 || g === 4 ? neighbour : 2 * neighbour);
    return here * stay + ((from[g - 1] ?? 0) + (from[g + 1] ?? 0)) * neighbour;
  });
}

function reflexScale(id: string, base: (baseline: Baseline) => readonly number[]): Scale {
  return {
    id,
    codes: downSteps * upSteps,
    values: reflexGrades,
    varies: true,
    chances(code, baseline) {
      const [down, up] = arcOf(code);
      return withSlip(blur(interruptBy(down, releaseBy(up, base(baseline)))));
    },
    combine(a, b) {
      const [d1, u1] = arcOf(a);
      const [d2, u2] = arcOf(b);
      return arcCode(either(d1, d2), either(u1, u2));
    },
  };
}

const generalBase = (baseline: Baseline): readonly number[] =>
  baseline === 'brisk' ? healthy.brisk : baseline === 'low' ? healthy.low : healthy.usual;

const anklesGone = (baseline: Baseline): boolean =>
  baseline === 'no-ankles' || baseline === 'no-ankles-dull-feet';

const reflex = reflexScale('reflex', generalBase);
const ankle = reflexScale('reflex-ankle', (baseline) =>
  anklesGone(baseline) ? healthy.gone : generalBase(baseline),
);
/** Reflexes that many healthy people show only faintly: adductor, hamstring, deltoid, pectoral, finger flexor, jaw. */
const faint = reflexScale('reflex-faint', (baseline) =>
  baseline === 'brisk'
    ? [0.01, 0.05, 0.34, 0.58, 0.02]
    : baseline === 'low'
      ? [0.25, 0.6, 0.15, 0, 0]
      : [0.04, 0.15, 0.77, 0.04, 0],
);

// ---- clonus, plantar, tone ----

/** Beats that may be normal are a value of their own: `few`, up to three (FPnotebook, DeGowin). */
const clonusGrades = ['absent', 'few', ...clonusValues.filter((v) => v !== 'absent')];

const clonus: Scale = {
  id: 'clonus',
  codes: downSteps * upSteps,
  values: clonusGrades,
  varies: true,
  chances(code, baseline) {
    const [down, up] = arcOf(code);
    const free = (1 - down) ** 2;
    const base = baseline === 'brisk' ? [0.9, 0.06, 0.03, 0.01] : [0.968, 0.02, 0.01, 0.002];
    const full = [0.32, 0.08, 0.28, 0.32];
    const x = up ** 1.3 * free;
    return withSlip(base.map((p, i) => p * (1 - x) + (full[i] ?? 0) * x));
  },
  combine: reflex.combine,
};

/**
 * The plantar response to a lost tract is extensor in 50-84 % and in a healthy foot in 1-14 % (Isaza
 * Jaramillo 2014; Appasamy 2018; kappa 0.3 to 0.73); the state carries how sure the lesion makes it.
 */
const plantar: Scale = {
  id: 'plantar',
  codes: downSteps * upSteps,
  values: plantarValues,
  varies: false,
  chances(code) {
    const [down, up] = arcOf(code);
    const free = [0.935, 0.015, 0.025, 0.025];
    const released = [0.13, 0.72, 0.09, 0.06];
    const moved = free.map((p, i) => p * (1 - up) + (released[i] ?? 0) * up);
    const stuck = [0.22, 0.02, 0.06, 0.7];
    return withSlip(moved.map((p, i) => p * (1 - down) + (stuck[i] ?? 0) * down));
  },
  combine: reflex.combine,
};

const tone: Scale = {
  id: 'tone',
  codes: downSteps * upSteps,
  values: toneValues,
  varies: false,
  chances(code) {
    const [down, up] = arcOf(code);
    const normal = [0.96, 0.02, 0.012, 0.008];
    const spastic = [0.22, 0.02, 0.74, 0.02];
    const flaccid = [0.3, 0.67, 0.02, 0.01];
    const x = normal.map((p, i) => p * (1 - up) + (spastic[i] ?? 0) * up);
    return withSlip(x.map((p, i) => p * (1 - down) + (flaccid[i] ?? 0) * down));
  },
  combine: reflex.combine,
};

// ---- sensation ----

const senseSteps = 14;
export const senseCode = (loss: number): number => stepOf(loss, senseSteps);

function senseScale(id: string, dull: boolean): Scale {
  return {
    id,
    codes: senseSteps,
    values: sensationValues,
    varies: dull,
    chances(code, baseline) {
      const own = code / (senseSteps - 1);
      const old = dull && (baseline === 'dull-feet' || baseline === 'no-ankles-dull-feet');
      const loss = old ? either(own, 0.7) : own;
      const kept = Math.max(0.03, 0.98 * Math.exp(-3.2 * loss ** 1.2));
      const gone = (1 - kept) * (0.06 + 0.42 * loss * loss);
      const more = (1 - kept) * 0.07;
      return withSlip([kept, 1 - kept - gone - more, gone, more]);
    },
    combine: (a, b) => senseCode(either(a / (senseSteps - 1), b / (senseSteps - 1))),
  };
}

const sensation = senseScale('sensation', false);
const vibrationFeet = senseScale('sensation-feet', true);

// ---- yes or no ----

/** The likelier cause decides: base rates, which every lesion carries, must not add up. */
const combineChance = (a: number, b: number): number => Math.max(a, b);

function chanceScale(
  id: string,
  values: readonly string[],
  spread: (p: number) => readonly number[],
  { briskChance, slip = slipShare }: { readonly briskChance?: number; readonly slip?: number } = {},
): Scale {
  return {
    id,
    codes: chanceCodes,
    values,
    varies: briskChance !== undefined,
    chances(code, baseline) {
      const own = chanceOf(code);
      const p = baseline === 'brisk' && briskChance !== undefined ? either(own, briskChance) : own;
      return withSlip(spread(p), slip);
    },
    combine: combineChance,
  };
}

const presence = (p: number): readonly number[] => [
  p * 0.96,
  (1 - p) * 0.98,
  p * 0.04 + (1 - p) * 0.02,
];
const sign = chanceScale('sign', signValues, presence, { slip: slipInSigns });
/** Hoffmann and Tromner are found in 2-3 % of the public (Gruenberger 2023), mostly in the brisk. */
const briskSign = chanceScale('sign-brisk', signValues, presence, { briskChance: 0.16 });
const bulk = chanceScale('bulk', ['normal', 'wasted'], (p) => [1 - p, p]);
const superficial = chanceScale('superficial', superficialValues, (p) => [
  1 - p,
  p * 0.35,
  p * 0.65,
]);
const coordination = chanceScale('coordination', coordinationValues, (p) => [1 - p, p]);
const circumstance = chanceScale('circumstance', contextValues, (p) => [p, 1 - p], {
  slip: slipInHistory,
});
const qualifier = chanceScale('qualifier', ['present', 'absent'], (p) => [p, 1 - p], {
  briskChance: 0.05,
});

// ---- gait ----

export const gaitBits = [
  'spastic',
  'steppage',
  'ataxic',
  'hemiparetic',
  'waddling',
  'unable',
] as const;
export type GaitBit = (typeof gaitBits)[number];
export const gaitCode = (bits: ReadonlySet<GaitBit>): number =>
  gaitBits.reduce((code, bit, i) => code | (bits.has(bit) ? 1 << i : 0), 0);

const gait: Scale = {
  id: 'gait',
  codes: 1 << gaitBits.length,
  values: gaitValues,
  varies: false,
  chances(code) {
    const expected = gaitBits.filter((_, i) => (code >> i) & 1);
    const base: Record<string, number> = {
      normal: 0.86,
      spastic: 0.01,
      steppage: 0.01,
      ataxic: 0.03,
      hemiparetic: 0.01,
      waddling: 0.01,
      antalgic: 0.055,
      unable: 0.015,
    };
    if (expected.length > 0) {
      for (const key of gaitValues) base[key] = (base[key] ?? 0) * 0.25;
      for (const bit of expected) base[bit] = (base[bit] ?? 0) + 0.7 / expected.length;
      base.unable = (base.unable ?? 0) + 0.05;
    }
    return withSlip(gaitValues.map((v) => base[v] ?? 0));
  },
  combine: (a, b) => a | b,
};

// ---- onset ----

/** How diseases begin: sudden, days, weeks, months, years (from memory). */
export const onsetShapes = {
  any: [0.2, 0.2, 0.2, 0.2, 0.2],
  stroke: [0.7, 0.14, 0.06, 0.07, 0.03],
  cord: [0.17, 0.18, 0.22, 0.3, 0.13],
  slow: [0.02, 0.03, 0.12, 0.53, 0.3],
  root: [0.2, 0.2, 0.25, 0.27, 0.08],
  nerve: [0.26, 0.14, 0.2, 0.28, 0.12],
  wrist: [0.06, 0.07, 0.2, 0.42, 0.25],
  acute: [0.08, 0.68, 0.17, 0.05, 0.02],
  weeks: [0.1, 0.2, 0.4, 0.24, 0.06],
  systemic: [0.12, 0.28, 0.22, 0.25, 0.13],
} as const;
export type OnsetShape = keyof typeof onsetShapes;
const shapeNames = Object.keys(onsetShapes) as readonly OnsetShape[];
export const onsetCode = (shape: OnsetShape): number => shapeNames.indexOf(shape);

const onset: Scale = {
  id: 'onset',
  codes: shapeNames.length,
  values: onsetValues,
  varies: false,
  chances: (code) => withSlip(onsetShapes[shapeNames[code] ?? 'any']),
  combine: (a, b) => (a === b ? a : onsetCode('any')),
};

export const scales = {
  strength,
  reflex,
  ankle,
  faint,
  clonus,
  plantar,
  tone,
  sensation,
  vibrationFeet,
  sign,
  briskSign,
  bulk,
  superficial,
  coordination,
  circumstance,
  qualifier,
  gait,
  onset,
} as const satisfies Readonly<Record<string, Scale>>;

/**
 * Logs are rounded to this step, so that sums come out the same in any order to the last bit and a
 * mirrored exam gets a mirrored answer.
 */
const grain = 2 ** 34;
export const exactLog = (p: number): number => Math.round(Math.log(p) * grain) / grain;

const tables = new Map<Scale, readonly Float64Array[]>();

/** For each baseline, logs of chances at `code * values + value`; one table where none varies. */
export function logTables(scale: Scale): readonly Float64Array[] {
  const known = tables.get(scale);
  if (known !== undefined) return known;
  const of = (baseline: Baseline): Float64Array => {
    const table = new Float64Array(scale.codes * scale.values.length);
    for (let code = 0; code < scale.codes; code++) {
      scale.chances(code, baseline).forEach((p, v) => {
        table[code * scale.values.length + v] = exactLog(p);
      });
    }
    return table;
  };
  const made = (scale.varies ? baselines : (['usual'] as const)).map(of);
  tables.set(scale, made);
  return made;
}

const combinations = new Map<Scale, Uint8Array>();

/** The code of two states together, at `a * codes + b`. */
export function combineTable(scale: Scale): Uint8Array {
  const known = combinations.get(scale);
  if (known !== undefined) return known;
  const table = new Uint8Array(scale.codes * scale.codes);
  for (let a = 0; a < scale.codes; a++) {
    for (let b = 0; b < scale.codes; b++) table[a * scale.codes + b] = scale.combine(a, b);
  }
  combinations.set(scale, table);
  return table;
}

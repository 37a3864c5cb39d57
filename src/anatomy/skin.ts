import type { Dermatome, Segment, SkinRegion } from '../exam/index.ts';
import { dermatomes, segments } from '../exam/index.ts';
import type { NerveId } from './nerve.ts';
import { type Shares, segmentShares } from './share.ts';
import type { SourceKey } from './source.ts';

/** An area of skin: its dermatomes in shares, its nerves in shares, and how far from the cord it is. */
export interface Patch {
  readonly roots: Shares<Segment>;
  readonly nerves: Shares<NerveId>;
  readonly limb: 'arm' | 'leg' | 'trunk' | 'head';
  /** Length of its fibres against the longest, 0 to 1. */
  readonly reach: number;
  readonly name: string;
  readonly source: readonly SourceKey[];
}

const patch = (
  limb: Patch['limb'],
  name: string,
  roots: string,
  nerves: Shares<NerveId>,
  reach: number,
  ...source: readonly SourceKey[]
): Patch => ({ limb, name, roots: segmentShares(roots), nerves, reach, source });

/** The face is not here: its nerve is the fifth and its dermatomes lie above the cord. */
export type BodyRegion = Exclude<SkinRegion, 'face'>;

/** Named areas of skin. Nerve territories after Brazis and the Aids; shares from memory. */
export const regions: Readonly<Record<BodyRegion, Patch>> = {
  thumb: patch(
    'arm',
    'thumb',
    'C6 .85 C7 .15',
    [
      ['median-wrist', 0.65],
      ['superficial-radial', 0.35],
    ],
    0.5,
    'isncsci',
    'asj',
    'mcgee',
  ),
  'middle-finger': patch(
    'arm',
    'middle finger',
    'C6 .05 C7 .85 C8 .1',
    [
      ['median-wrist', 0.85],
      ['superficial-radial', 0.15],
    ],
    0.52,
    'isncsci',
    'asj',
  ),
  'little-finger': patch(
    'arm',
    'little finger',
    'C8 .9 T1 .1',
    [['ulnar-wrist', 1]],
    0.52,
    'isncsci',
    'mcgee',
    'alberta',
  ),
  palm: patch(
    'arm',
    'palm',
    'C6 .2 C7 .5 C8 .3',
    [
      ['median-elbow', 0.65],
      ['ulnar-elbow', 0.35],
    ],
    0.48,
    'watson',
    'brazis',
  ),
  'dorsum-of-hand': patch(
    'arm',
    'back of the hand',
    'C6 .35 C7 .4 C8 .25',
    [
      ['superficial-radial', 0.6],
      ['ulnar-elbow', 0.4],
    ],
    0.47,
    'brazis',
  ),
  'lateral-arm': patch(
    'arm',
    'outer upper arm',
    'C5 .85 C6 .15',
    [
      ['axillary', 0.85],
      ['radial-axilla', 0.15],
    ],
    0.2,
    'asj',
    'upstate',
    'brazis',
  ),
  'medial-forearm': patch(
    'arm',
    'inner forearm',
    'C8 .45 T1 .55',
    [['medial-cutaneous-forearm', 1]],
    0.35,
    'upstate',
    'brazis',
  ),
  'lateral-forearm': patch(
    'arm',
    'outer forearm',
    'C5 .15 C6 .85',
    [['musculocutaneous', 1]],
    0.35,
    'asj',
    'upstate',
    'brazis',
  ),
  trunk: patch(
    'trunk',
    'trunk',
    'T3 .1 T4 .1 T5 .1 T6 .1 T7 .1 T8 .1 T9 .1 T10 .1 T11 .1 T12 .1',
    [['intercostal', 1]],
    0.1,
    'memory',
  ),
  'anterior-thigh': patch(
    'leg',
    'front of the thigh',
    'L1 .05 L2 .4 L3 .5 L4 .05',
    [['femoral', 1]],
    0.35,
    'harrison',
    'watson',
    'brazis',
  ),
  'lateral-thigh': patch(
    'leg',
    'outer thigh',
    'L2 .55 L3 .45',
    [['lateral-femoral-cutaneous', 1]],
    0.35,
    'memory',
  ),
  'medial-thigh': patch(
    'leg',
    'inner thigh',
    'L1 .1 L2 .4 L3 .45 L4 .05',
    [
      ['obturator', 0.8],
      ['femoral', 0.2],
    ],
    0.35,
    'memory',
  ),
  'medial-leg': patch(
    'leg',
    'inner leg',
    'L3 .15 L4 .85',
    [['femoral', 1]],
    0.7,
    'harrison',
    'upstate',
    'watson',
  ),
  'lateral-leg': patch(
    'leg',
    'outer leg',
    'L4 .05 L5 .9 S1 .05',
    [
      ['common-fibular', 0.5],
      ['superficial-fibular', 0.5],
    ],
    0.72,
    'harrison',
    'brazis',
  ),
  'dorsum-of-foot': patch(
    'leg',
    'top of the foot',
    'L4 .05 L5 .9 S1 .05',
    [
      ['superficial-fibular', 0.92],
      ['deep-fibular', 0.08],
    ],
    0.92,
    'harrison',
    'mcgee',
    'brazis',
  ),
  'lateral-foot': patch(
    'leg',
    'outer edge of the foot',
    'L5 .05 S1 .95',
    [
      ['tibial', 0.65],
      ['common-fibular', 0.35],
    ],
    0.93,
    'harrison',
    'brazis',
  ),
  'first-web-space': patch(
    'leg',
    'first web space of the foot',
    'L5 1',
    [['deep-fibular', 1]],
    0.94,
    'brazis',
  ),
  sole: patch('leg', 'sole', 'L5 .1 S1 .7 S2 .2', [['tibial', 1]], 0.96, 'harrison', 'brazis'),
  'great-toe': patch(
    'leg',
    'great toe',
    'L4 .15 L5 .75 S1 .1',
    [
      ['superficial-fibular', 0.45],
      ['deep-fibular', 0.15],
      ['tibial', 0.4],
    ],
    1,
    'harrison',
    'brazis',
  ),
  saddle: patch(
    'trunk',
    'saddle area',
    'S2 .1 S3 .3 S4 .35 S5 .25',
    [['pudendal', 1]],
    0.15,
    'memory',
  ),
};

/** The nerves that carry each dermatome out to the skin; where none is named, the intercostals do. */
const dermatomeNerves: Partial<Record<Dermatome, Shares<NerveId>>> = {
  C2: [['cervical', 1]],
  C3: [['cervical', 1]],
  C4: [['cervical', 1]],
  C5: [
    ['axillary', 0.6],
    ['musculocutaneous', 0.2],
    ['radial-axilla', 0.2],
  ],
  C6: [
    ['musculocutaneous', 0.35],
    ['median-wrist', 0.35],
    ['superficial-radial', 0.3],
  ],
  C7: [
    ['median-wrist', 0.7],
    ['superficial-radial', 0.3],
  ],
  C8: [
    ['ulnar-wrist', 0.55],
    ['ulnar-elbow', 0.25],
    ['medial-cutaneous-forearm', 0.2],
  ],
  T1: [['medial-cutaneous-forearm', 1]],
  L1: [['lumbar-branches', 1]],
  L2: [
    ['femoral', 0.5],
    ['lateral-femoral-cutaneous', 0.35],
    ['obturator', 0.15],
  ],
  L3: [
    ['femoral', 0.75],
    ['obturator', 0.25],
  ],
  L4: [
    ['femoral', 0.9],
    ['common-fibular', 0.1],
  ],
  L5: [
    ['common-fibular', 0.3],
    ['superficial-fibular', 0.5],
    ['deep-fibular', 0.2],
  ],
  S1: [
    ['tibial', 0.75],
    ['common-fibular', 0.25],
  ],
  S2: [
    ['posterior-femoral-cutaneous', 0.8],
    ['tibial', 0.2],
  ],
  S3: [['pudendal', 1]],
  S4: [['pudendal', 1]],
  S5: [['pudendal', 1]],
};

const dermatomeReach: Partial<Record<Dermatome, number>> = {
  C5: 0.2,
  C6: 0.42,
  C7: 0.5,
  C8: 0.48,
  T1: 0.3,
  L1: 0.2,
  L2: 0.3,
  L3: 0.42,
  L4: 0.65,
  L5: 0.88,
  S1: 0.93,
  S2: 0.45,
  S3: 0.15,
  S4: 0.1,
  S5: 0.1,
};

/** Neighbouring dermatomes overlap: a tenth from each side (from memory). */
const overlap = 0.1;

function dermatomePatch(dermatome: Dermatome): Patch {
  const at = segments.indexOf(dermatome);
  const roots: (readonly [Segment, number])[] = [];
  for (const [step, share] of [
    [-1, overlap],
    [0, 1 - 2 * overlap],
    [1, overlap],
  ] as const) {
    const segment = segments[at + step] ?? dermatome;
    roots.push([segment === 'C1' ? dermatome : segment, share]);
  }
  const limb = at < 4 ? 'head' : at < 9 ? 'arm' : at < 20 ? 'trunk' : at < 27 ? 'leg' : 'trunk';
  return {
    roots,
    nerves: dermatomeNerves[dermatome] ?? [['intercostal', 1]],
    limb,
    reach: dermatomeReach[dermatome] ?? 0.1,
    name: `${dermatome} dermatome`,
    source: ['isncsci', 'memory'],
  };
}

export const dermatomePatches: ReadonlyMap<Dermatome, Patch> = new Map(
  dermatomes.map((d) => [d, dermatomePatch(d)]),
);

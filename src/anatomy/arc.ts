import type { ReflexSite, Segment, SuperficialSite } from '../exam/index.ts';
import type { NerveId } from './nerve.ts';
import { type Shares, segmentShares } from './share.ts';
import type { SourceKey } from './source.ts';

/** A reflex arc below the brainstem: both limbs run in the same segments and the same nerve. */
export interface Arc {
  readonly roots: Shares<Segment>;
  readonly nerves: Shares<NerveId>;
  readonly limb: 'arm' | 'leg' | 'trunk';
  /** Length of its fibres against the longest, 0 to 1. */
  readonly reach: number;
  readonly name: string;
  readonly source: readonly SourceKey[];
}

const arc = (
  limb: Arc['limb'],
  name: string,
  roots: string,
  nerves: Shares<NerveId>,
  reach: number,
  ...source: readonly SourceKey[]
): Arc => ({ limb, name, roots: segmentShares(roots), nerves, reach, source });

/** The jaw jerk has its centre in the pons and both limbs in the fifth nerve, so it is not here. */
export type LimbReflex = Exclude<ReflexSite, 'jaw'>;

/** Muscle stretch reflexes. Spans are the union of the named handbooks; shares from memory. */
export const arcs: Readonly<Record<LimbReflex, Arc>> = {
  deltoid: arc('arm', 'deltoid reflex', 'C5 .75 C6 .25', [['axillary', 1]], 0.15, 'memory'),
  pectoralis: arc(
    'arm',
    'pectoralis reflex',
    'C5 .2 C6 .2 C7 .25 C8 .2 T1 .15',
    [
      ['lateral-pectoral', 0.5],
      ['medial-pectoral', 0.5],
    ],
    0.15,
    'dejong',
  ),
  biceps: arc(
    'arm',
    'biceps reflex',
    'C5 .55 C6 .45',
    [['musculocutaneous', 1]],
    0.25,
    'statPearls',
    'loyola',
    'mcgrawHill',
    'msu',
    'upstate',
  ),
  brachioradialis: arc(
    'arm',
    'brachioradialis reflex',
    'C5 .3 C6 .6 C7 .1',
    [['radial-spiral-groove', 1]],
    0.3,
    'statPearls',
    'loyola',
    'mcgrawHill',
    'msu',
    'ukx',
  ),
  triceps: arc(
    'arm',
    'triceps reflex',
    'C6 .15 C7 .65 C8 .2',
    [['radial-axilla', 1]],
    0.25,
    'statPearls',
    'loyola',
    'clinicalExam',
    'mcgrawHill',
    'ukx',
    'oganatomy',
    'alberta',
  ),
  'finger-flexor': arc(
    'arm',
    'finger flexor reflex',
    'C7 .2 C8 .55 T1 .25',
    [
      ['median-elbow', 0.7],
      ['ulnar-elbow', 0.3],
    ],
    0.42,
    'clinicalExam',
    'memory',
  ),
  adductor: arc('leg', 'adductor reflex', 'L2 .3 L3 .4 L4 .3', [['obturator', 1]], 0.4, 'memory'),
  patellar: arc(
    'leg',
    'knee jerk',
    'L2 .12 L3 .4 L4 .48',
    [['femoral', 1]],
    0.5,
    'statPearls',
    'loyola',
    'mcgrawHill',
    'oganatomy',
    'clinicalExam',
    'ukx',
  ),
  'medial-hamstring': arc(
    'leg',
    'medial hamstring reflex',
    'L4 .15 L5 .65 S1 .2',
    [['sciatic', 1]],
    0.55,
    'mcgee',
    'felsenthal',
  ),
  'lateral-hamstring': arc(
    'leg',
    'lateral hamstring reflex',
    'L5 .3 S1 .55 S2 .15',
    [['sciatic', 1]],
    0.55,
    'dejong',
  ),
  achilles: arc(
    'leg',
    'ankle jerk',
    'L5 .05 S1 .75 S2 .2',
    [['tibial', 1]],
    0.85,
    'statPearls',
    'clinicalExam',
    'ukx',
    'oganatomy',
    'loyola',
    'mcgrawHill',
    'msu',
  ),
};

/** Skin and mucosal reflexes, lost with their arc and with the descending control alike. */
export const superficialArcs: Readonly<Record<SuperficialSite, Arc>> = {
  'abdominal-upper': arc(
    'trunk',
    'upper abdominal reflex',
    'T7 .15 T8 .3 T9 .35 T10 .2',
    [['intercostal', 1]],
    0.05,
    'mcgrawHill',
    'medicalBrainNotes',
  ),
  'abdominal-lower': arc(
    'trunk',
    'lower abdominal reflex',
    'T10 .3 T11 .4 T12 .3',
    [['intercostal', 1]],
    0.05,
    'mcgrawHill',
    'medicalBrainNotes',
  ),
  cremasteric: arc(
    'trunk',
    'cremasteric reflex',
    'T12 .1 L1 .55 L2 .35',
    [['lumbar-branches', 1]],
    0.1,
    'medicalBrainNotes',
    'memory',
  ),
  anal: arc(
    'trunk',
    'anal reflex',
    'S2 .2 S3 .3 S4 .35 S5 .15',
    [['pudendal', 1]],
    0.1,
    'medicalBrainNotes',
  ),
  bulbocavernosus: arc(
    'trunk',
    'bulbocavernosus reflex',
    'S2 .3 S3 .4 S4 .3',
    [['pudendal', 1]],
    0.1,
    'fpNotebook',
  ),
};

/** The plantar response: stroke of the sole (tibial nerve), answer of the toes. */
export const plantarArc: Arc = arc(
  'leg',
  'plantar response',
  'L5 .2 S1 .55 S2 .25',
  [['tibial', 1]],
  0.9,
  'clinicalExam',
  'mcgrawHill',
  'medicalBrainNotes',
);

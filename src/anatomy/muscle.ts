import type { Movement, Segment } from '../exam/index.ts';
import type { NerveId } from './nerve.ts';
import { type Shares, segmentShares } from './share.ts';
import type { SourceKey } from './source.ts';

/** A muscle (or a group that is tested as one), its segments in shares, and the nerve it hangs on. */
export interface Muscle {
  readonly name: string;
  readonly roots: Shares<Segment>;
  readonly nerve: NerveId;
  readonly source: readonly SourceKey[];
}

const muscle = (
  name: string,
  roots: string,
  nerve: NerveId,
  ...source: readonly SourceKey[]
): Muscle => ({ name, roots: segmentShares(roots), nerve, source });

/**
 * Spans are the handbooks'; where they differ the span is their union and the share leans to the
 * root most of them call principal. The shares themselves are ours, from memory of the trade.
 */
const table = {
  neckFlexors: muscle('neck flexors', 'C1 .25 C2 .3 C3 .25 C4 .2', 'cervical', 'memory'),
  neckExtensors: muscle(
    'neck extensors',
    'C1 .2 C2 .2 C3 .2 C4 .2 C5 .1 C6 .1',
    'cervical',
    'memory',
  ),
  trapezius: muscle('trapezius', 'C2 .2 C3 .4 C4 .4', 'accessory', 'tableA', 'aids'),
  serratus: muscle('serratus anterior', 'C5 .35 C6 .4 C7 .25', 'long-thoracic', 'tableA', 'aids'),
  deltoid: muscle('deltoid', 'C5 .75 C6 .25', 'axillary', 'tableA', 'upstate', 'asj'),
  supraspinatus: muscle('supraspinatus', 'C4 .1 C5 .65 C6 .25', 'suprascapular', 'tableA'),
  infraspinatus: muscle('infraspinatus', 'C5 .75 C6 .25', 'suprascapular', 'tableA', 'asj'),
  teresMinor: muscle('teres minor', 'C5 .75 C6 .25', 'axillary', 'memory'),
  latissimus: muscle('latissimus dorsi', 'C6 .25 C7 .45 C8 .3', 'thoracodorsal', 'tableA', 'aids'),
  pectoralisClavicular: muscle(
    'pectoralis major, clavicular',
    'C5 .5 C6 .5',
    'lateral-pectoral',
    'tableA',
    'aids',
  ),
  pectoralisSternal: muscle(
    'pectoralis major, sternal',
    'C6 .1 C7 .4 C8 .35 T1 .15',
    'medial-pectoral',
    'tableA',
    'aids',
  ),
  biceps: muscle(
    'biceps and brachialis',
    'C5 .55 C6 .45',
    'musculocutaneous',
    'tableA',
    'isncsci',
    'asj',
  ),
  brachioradialis: muscle(
    'brachioradialis',
    'C5 .35 C6 .65',
    'radial-spiral-groove',
    'tableA',
    'giovannoni',
  ),
  triceps: muscle('triceps', 'C6 .15 C7 .65 C8 .2', 'radial-axilla', 'tableA', 'isncsci'),
  pronatorTeres: muscle('pronator teres', 'C6 .5 C7 .5', 'median-elbow', 'tableA', 'aids'),
  pronatorQuadratus: muscle(
    'pronator quadratus',
    'C7 .3 C8 .5 T1 .2',
    'anterior-interosseous',
    'memory',
  ),
  radialExtensors: muscle(
    'extensor carpi radialis longus and brevis',
    'C5 .1 C6 .55 C7 .35',
    'radial-spiral-groove',
    'tableA',
    'giovannoni',
    'isncsci',
  ),
  ulnarExtensor: muscle(
    'extensor carpi ulnaris',
    'C7 .7 C8 .3',
    'posterior-interosseous',
    'tableA',
    'aids',
  ),
  fingerExtensors: muscle(
    'extensor digitorum',
    'C7 .7 C8 .3',
    'posterior-interosseous',
    'tableA',
    'asj',
  ),
  radialFlexor: muscle('flexor carpi radialis', 'C6 .35 C7 .65', 'median-elbow', 'tableA', 'asj'),
  ulnarFlexor: muscle(
    'flexor carpi ulnaris',
    'C7 .2 C8 .6 T1 .2',
    'ulnar-elbow',
    'alberta',
    'aids',
  ),
  superficialFlexor: muscle(
    'flexor digitorum superficialis',
    'C7 .2 C8 .55 T1 .25',
    'median-elbow',
    'tableA',
    'aids',
  ),
  deepFlexorMedian: muscle(
    'flexor digitorum profundus, index and middle',
    'C7 .15 C8 .65 T1 .2',
    'anterior-interosseous',
    'tableA',
    'alberta',
  ),
  deepFlexorUlnar: muscle(
    'flexor digitorum profundus, ring and little',
    'C7 .1 C8 .7 T1 .2',
    'ulnar-elbow',
    'alberta',
  ),
  thumbFlexor: muscle(
    'flexor pollicis longus',
    'C7 .1 C8 .65 T1 .25',
    'anterior-interosseous',
    'tableA',
    'alberta',
  ),
  thenar: muscle('abductor pollicis brevis', 'C8 .4 T1 .6', 'median-wrist', 'tableA', 'alberta'),
  adductorPollicis: muscle('adductor pollicis', 'C8 .4 T1 .6', 'ulnar-wrist', 'memory'),
  interossei: muscle(
    'dorsal interossei and abductor digiti minimi',
    'C8 .45 T1 .55',
    'ulnar-wrist',
    'alberta',
    'isncsci',
  ),
  psoas: muscle('psoas', 'L1 .25 L2 .45 L3 .3', 'lumbar-branches', 'aids', 'isncsci'),
  iliacus: muscle('iliacus', 'L1 .1 L2 .5 L3 .4', 'femoral', 'wikiCns', 'aids'),
  quadriceps: muscle('quadriceps', 'L2 .15 L3 .4 L4 .45', 'femoral', 'wikiCns', 'isncsci', 'aids'),
  adductors: muscle('hip adductors', 'L2 .3 L3 .4 L4 .3', 'obturator', 'wikiCns', 'aids'),
  adductorMagnus: muscle('adductor magnus, hamstring part', 'L4 .5 L5 .5', 'sciatic', 'memory'),
  gluteusMedius: muscle(
    'gluteus medius and minimus',
    'L4 .15 L5 .65 S1 .2',
    'superior-gluteal',
    'wikiCns',
    'upstate',
    'jeon',
  ),
  gluteusMaximus: muscle(
    'gluteus maximus',
    'L5 .2 S1 .6 S2 .2',
    'inferior-gluteal',
    'wikiCns',
    'upstate',
  ),
  hamstrings: muscle('hamstrings', 'L4 .05 L5 .35 S1 .45 S2 .15', 'sciatic', 'learnhaem', 'aids'),
  tibialisAnterior: muscle(
    'tibialis anterior',
    'L4 .4 L5 .6',
    'deep-fibular',
    'isncsci',
    'upstate',
    'learnhaem',
  ),
  toeExtensorLong: muscle(
    'extensor hallucis longus',
    'L5 .85 S1 .15',
    'deep-fibular',
    'isncsci',
    'aids',
  ),
  toeExtensors: muscle(
    'extensor digitorum longus and brevis',
    'L5 .75 S1 .25',
    'deep-fibular',
    'upstate',
    'aids',
  ),
  tibialisPosterior: muscle('tibialis posterior', 'L4 .3 L5 .7', 'tibial', 'upstate', 'learnhaem'),
  fibulares: muscle(
    'fibularis longus and brevis',
    'L5 .6 S1 .4',
    'superficial-fibular',
    'upstate',
    'learnhaem',
    'harrison',
  ),
  calf: muscle('gastrocnemius and soleus', 'S1 .75 S2 .25', 'tibial', 'isncsci', 'learnhaem'),
  toeFlexors: muscle(
    'flexor digitorum and hallucis longus',
    'L5 .45 S1 .35 S2 .2',
    'tibial',
    'harrison',
    'aids',
  ),
} as const satisfies Readonly<Record<string, Muscle>>;

export type MuscleId = keyof typeof table;
export const muscles: Readonly<Record<MuscleId, Muscle>> = table;

/** Region of the body that a movement belongs to, and how far down the limb, 0 (trunk) to 1 (toes). */
export interface MovementRow {
  readonly muscles: Shares<MuscleId>;
  readonly limb: 'neck' | 'arm' | 'leg';
  /** Length of its nerve fibres against the longest in the body: what a length-dependent process meets. */
  readonly reach: number;
  /** How near the trunk, 0 to 1: what a myopathy or a junction disease meets. */
  readonly proximal: number;
  /**
   * How much of an upper motor lesion it shows, 0 to 1: extensors and abductors in the arm, flexors
   * in the leg, distal before proximal (DeJong; the figures from memory).
   */
  readonly pyramidal: number;
}

const move = (
  limb: MovementRow['limb'],
  muscles: Shares<MuscleId>,
  reach: number,
  proximal: number,
  pyramidal: number,
): MovementRow => ({ limb, muscles, reach, proximal, pyramidal });

/** Every strength site of the vocabulary as the muscles that do it. */
export const movementTable: Readonly<Record<Movement, MovementRow>> = {
  'neck-flexion': move('neck', [['neckFlexors', 1]], 0, 0.95, 0.08),
  'neck-extension': move('neck', [['neckExtensors', 1]], 0, 0.6, 0.05),
  'shoulder-shrug': move('arm', [['trapezius', 1]], 0.05, 0.6, 0.3),
  'shoulder-abduction': move(
    'arm',
    [
      ['deltoid', 0.85],
      ['supraspinatus', 0.15],
    ],
    0.15,
    1,
    0.9,
  ),
  'shoulder-adduction': move(
    'arm',
    [
      ['latissimus', 0.4],
      ['pectoralisClavicular', 0.2],
      ['pectoralisSternal', 0.4],
    ],
    0.15,
    0.85,
    0.5,
  ),
  'shoulder-external-rotation': move(
    'arm',
    [
      ['infraspinatus', 0.85],
      ['teresMinor', 0.15],
    ],
    0.15,
    0.9,
    0.8,
  ),
  'scapular-protraction': move('arm', [['serratus', 1]], 0.1, 0.7, 0.4),
  'elbow-flexion': move(
    'arm',
    [
      ['biceps', 0.9],
      ['brachioradialis', 0.1],
    ],
    0.25,
    0.75,
    0.7,
  ),
  brachioradialis: move('arm', [['brachioradialis', 1]], 0.27, 0.6, 0.6),
  'elbow-extension': move('arm', [['triceps', 1]], 0.25, 0.75, 0.9),
  'forearm-pronation': move(
    'arm',
    [
      ['pronatorTeres', 0.8],
      ['pronatorQuadratus', 0.2],
    ],
    0.35,
    0.4,
    0.6,
  ),
  'wrist-extension': move(
    'arm',
    [
      ['radialExtensors', 0.75],
      ['ulnarExtensor', 0.25],
    ],
    0.38,
    0.35,
    1,
  ),
  'wrist-flexion': move(
    'arm',
    [
      ['radialFlexor', 0.6],
      ['ulnarFlexor', 0.4],
    ],
    0.38,
    0.35,
    0.7,
  ),
  'finger-extension': move('arm', [['fingerExtensors', 1]], 0.42, 0.3, 1),
  'finger-flexion': move(
    'arm',
    [
      ['superficialFlexor', 0.45],
      ['deepFlexorMedian', 0.3],
      ['deepFlexorUlnar', 0.25],
    ],
    0.42,
    0.3,
    0.75,
  ),
  'thumb-flexion': move('arm', [['thumbFlexor', 1]], 0.43, 0.25, 0.8),
  'thumb-abduction': move('arm', [['thenar', 1]], 0.5, 0.2, 0.9),
  'thumb-adduction': move('arm', [['adductorPollicis', 1]], 0.5, 0.2, 0.8),
  'finger-abduction': move('arm', [['interossei', 1]], 0.5, 0.2, 1),
  'hip-flexion': move(
    'leg',
    [
      ['psoas', 0.55],
      ['iliacus', 0.45],
    ],
    0.3,
    1,
    1,
  ),
  'hip-extension': move('leg', [['gluteusMaximus', 1]], 0.35, 0.9, 0.6),
  'hip-abduction': move('leg', [['gluteusMedius', 1]], 0.35, 0.95, 0.75),
  'hip-adduction': move(
    'leg',
    [
      ['adductors', 0.88],
      ['adductorMagnus', 0.12],
    ],
    0.35,
    0.8,
    0.5,
  ),
  'knee-extension': move('leg', [['quadriceps', 1]], 0.45, 0.85, 0.65),
  'knee-flexion': move('leg', [['hamstrings', 1]], 0.5, 0.7, 0.95),
  'ankle-dorsiflexion': move('leg', [['tibialisAnterior', 1]], 0.8, 0.2, 1),
  'ankle-plantarflexion': move('leg', [['calf', 1]], 0.75, 0.25, 0.6),
  'ankle-inversion': move(
    'leg',
    [
      ['tibialisPosterior', 0.85],
      ['tibialisAnterior', 0.15],
    ],
    0.78,
    0.2,
    0.8,
  ),
  'ankle-eversion': move('leg', [['fibulares', 1]], 0.78, 0.2, 0.9),
  'great-toe-extension': move('leg', [['toeExtensorLong', 1]], 0.9, 0.1, 1),
  'toe-extension': move('leg', [['toeExtensors', 1]], 0.95, 0.1, 1),
  'toe-flexion': move('leg', [['toeFlexors', 1]], 0.9, 0.1, 0.8),
};

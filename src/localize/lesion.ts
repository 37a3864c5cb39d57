import type { NerveId, PlexusPart } from '../anatomy/index.ts';
import { type Lateral, laterals, type Segment, segments } from '../exam/index.ts';
import type { LesionSide, LesionSite } from './result.ts';

export type CordPattern = 'complete' | 'hemi' | 'central' | 'anterior' | 'posterolateral';
export const cordPatterns: readonly CordPattern[] = [
  'complete',
  'hemi',
  'central',
  'anterior',
  'posterolateral',
];

/** What is cut or diseased, taken apart; the id of it is `site`. */
export type Focus =
  | { readonly group: 'hemisphere' | 'internal-capsule' | 'cerebellum' }
  | { readonly group: 'brainstem'; readonly place: 'midbrain' | 'pons' | 'medulla' }
  | { readonly group: 'cord'; readonly level: Segment; readonly pattern: CordPattern }
  | { readonly group: 'conus' | 'cauda-equina' | 'motor-neuron' | 'anterior-horn' }
  | { readonly group: 'root'; readonly level: Segment }
  | { readonly group: 'plexus'; readonly place: LesionPlexus }
  | { readonly group: 'nerve'; readonly place: LesionNerve }
  | { readonly group: 'polyneuropathy'; readonly place: 'length-dependent' | 'demyelinating' }
  | { readonly group: 'junction'; readonly place: 'postsynaptic' | 'presynaptic' }
  | { readonly group: 'muscle'; readonly place: 'proximal' }
  | { readonly group: 'systemic'; readonly place: Systemic }
  | { readonly group: 'no-lesion' };

export type Group = Focus['group'];

export interface Lesion {
  readonly site: LesionSite;
  readonly side: LesionSide;
  readonly focus: Focus;
}

export const lesionPlexuses = [
  'brachial-upper-trunk',
  'brachial-middle-trunk',
  'brachial-lower-trunk',
  'lumbar',
  'sacral',
] as const satisfies readonly PlexusPart[];
export type LesionPlexus = (typeof lesionPlexuses)[number];

export const lesionNerves = [
  'axillary',
  'musculocutaneous',
  'suprascapular',
  'long-thoracic',
  'radial-axilla',
  'radial-spiral-groove',
  'posterior-interosseous',
  'median-elbow',
  'anterior-interosseous',
  'median-wrist',
  'ulnar-elbow',
  'ulnar-wrist',
  'femoral',
  'lateral-femoral-cutaneous',
  'obturator',
  'sciatic',
  'tibial',
  'common-fibular',
  'deep-fibular',
  'superficial-fibular',
] as const satisfies readonly NerveId[];
export type LesionNerve = (typeof lesionNerves)[number];

const systemics = ['hypermagnesaemia', 'hypothyroid', 'hyperthyroid', 'hypocalcaemia'] as const;
export type Systemic = (typeof systemics)[number];

const from = (first: Segment, last: Segment): readonly Segment[] =>
  segments.slice(segments.indexOf(first), segments.indexOf(last) + 1);

export const cordLevels = from('C1', 'L1');
export const rootLevels = from('C5', 'S2');

const eachSide: readonly LesionSide[] = ['left', 'right', 'both'];

/** Which sides a disease can be on. A disease of both sides by nature has one hypothesis, `both`. */
function sidesOf(focus: Focus): readonly LesionSide[] {
  switch (focus.group) {
    case 'no-lesion':
      return ['none'];
    case 'cord':
      if (focus.pattern === 'hemi') return ['left', 'right'];
      return focus.pattern === 'central' ? eachSide : ['both'];
    case 'conus':
    case 'motor-neuron':
    case 'polyneuropathy':
    case 'junction':
    case 'muscle':
    case 'systemic':
      return ['both'];
    default:
      return eachSide;
  }
}

export function siteOf(focus: Focus): LesionSite {
  const parts: string[] = [focus.group];
  if (focus.group === 'cord') parts.push(focus.level, focus.pattern);
  else if (focus.group === 'root') parts.push(focus.level);
  else if ('place' in focus) parts.push(focus.place);
  return parts.join(':') as LesionSite;
}

const foci: readonly Focus[] = [
  { group: 'no-lesion' },
  { group: 'hemisphere' },
  { group: 'internal-capsule' },
  ...(['midbrain', 'pons', 'medulla'] as const).map(
    (place) => ({ group: 'brainstem', place }) as const,
  ),
  { group: 'cerebellum' },
  ...cordLevels.flatMap((level) =>
    cordPatterns.map((pattern) => ({ group: 'cord', level, pattern }) as const),
  ),
  { group: 'conus' },
  { group: 'cauda-equina' },
  { group: 'motor-neuron' },
  { group: 'anterior-horn' },
  ...rootLevels.map((level) => ({ group: 'root', level }) as const),
  ...lesionPlexuses.map((place) => ({ group: 'plexus', place }) as const),
  ...lesionNerves.map((place) => ({ group: 'nerve', place }) as const),
  ...(['length-dependent', 'demyelinating'] as const).map(
    (place) => ({ group: 'polyneuropathy', place }) as const,
  ),
  ...(['postsynaptic', 'presynaptic'] as const).map(
    (place) => ({ group: 'junction', place }) as const,
  ),
  { group: 'muscle', place: 'proximal' },
  ...systemics.map((place) => ({ group: 'systemic', place }) as const),
];

/** Every lesion of one site, on every side it can be on. */
export const lesions: readonly Lesion[] = foci.flatMap((focus) =>
  sidesOf(focus).map((side) => ({ site: siteOf(focus), side, focus })),
);

/** The body sides that a lesion's side stands for. */
export function sidesHit(side: LesionSide): readonly Lateral[] {
  return side === 'both' || side === 'none' ? laterals : [side];
}

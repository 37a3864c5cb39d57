import type { Kind } from './finding.ts';
import {
  bulkValues,
  clonusValues,
  contextValues,
  coordinationValues,
  gaitValues,
  mrcGrades,
  plantarValues,
  reflexGrades,
  sensationValues,
  signValues,
  superficialValues,
  toneValues,
} from './scale.ts';
import {
  bodyParts,
  clonusSites,
  contextSites,
  dermatomes,
  movements,
  plantarSites,
  reflexSites,
  sensoryLevels,
  signSites,
  skinDistributions,
  skinRegions,
  superficialSites,
} from './site.ts';

/** Where a kind of finding can be made and what it can be found to be. */
export interface KindVocabulary {
  readonly sites: readonly string[];
  readonly values: readonly string[];
}

/** The whole vocabulary of findings, one row a kind. `context` values depend on the site. */
export const vocabulary: Readonly<Record<Kind, KindVocabulary>> = {
  reflex: { sites: reflexSites, values: reflexGrades },
  clonus: { sites: clonusSites, values: clonusValues },
  plantar: { sites: plantarSites, values: plantarValues },
  sign: { sites: signSites, values: signValues },
  superficial: { sites: superficialSites, values: superficialValues },
  strength: { sites: movements, values: mrcGrades },
  tone: { sites: bodyParts, values: toneValues },
  bulk: { sites: movements, values: bulkValues },
  fasciculation: { sites: movements, values: signValues },
  sensation: {
    sites: [...dermatomes, ...skinRegions, ...skinDistributions, ...sensoryLevels],
    values: sensationValues,
  },
  coordination: { sites: bodyParts, values: coordinationValues },
  gait: { sites: ['gait'], values: gaitValues },
  context: { sites: contextSites, values: contextValues },
};

export const kinds = Object.keys(vocabulary) as readonly Kind[];

/**
 * Items that have no left and right: their finding is made on the midline. `either` items may be
 * reported for one side, for both, or for the midline when the examiner names none.
 */
const midlineOnly: ReadonlySet<string> = new Set([
  'reflex:jaw',
  'sign:romberg',
  'sign:lhermitte',
  'sign:snout',
  'sign:glabellar',
  'sign:dysarthria',
  'sign:tongue-wasting',
  'sign:tongue-fasciculation',
  'sign:aphasia',
  'superficial:bulbocavernosus',
  'strength:neck-flexion',
  'strength:neck-extension',
  'bulk:neck-flexion',
  'bulk:neck-extension',
  'fasciculation:neck-flexion',
  'fasciculation:neck-extension',
  'tone:trunk',
  'coordination:trunk',
]);
const eitherSide: ReadonlySet<string> = new Set([
  'gait:gait',
  'sign:fatigable-weakness',
  'sign:post-effort-facilitation',
  'sign:gaze-palsy',
  'superficial:anal',
  'sensation:saddle',
  'sensation:trunk',
  'sensation:face',
]);

export type Laterality = 'paired' | 'midline' | 'either';

/** Whether an item is examined left and right, on the midline, or may be told either way. */
export function laterality(kind: Kind, site: string): Laterality {
  if (kind === 'context') return 'midline';
  const key = `${kind}:${site}`;
  if (eitherSide.has(key)) return 'either';
  if (midlineOnly.has(key)) return 'midline';
  if (kind === 'sensation' && (site.startsWith('level-') || site === 'cape')) return 'either';
  return 'paired';
}

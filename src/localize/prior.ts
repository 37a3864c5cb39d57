import type { Group, Lesion } from './lesion.ts';

/**
 * How common a kind of lesion is among people who are examined for a possible lesion, before any
 * finding. From memory: round figures for a general neurology clinic and ward together. They are few
 * on purpose; the findings must do the work.
 */
export const groupShare: Readonly<Record<Group, number>> = {
  'no-lesion': 0.17,
  hemisphere: 0.032,
  'internal-capsule': 0.02,
  brainstem: 0.03,
  cerebellum: 0.02,
  cord: 0.13,
  conus: 0.005,
  'cauda-equina': 0.008,
  'motor-neuron': 0.015,
  'anterior-horn': 0.005,
  root: 0.185,
  plexus: 0.027,
  nerve: 0.16,
  polyneuropathy: 0.065,
  junction: 0.013,
  muscle: 0.016,
  systemic: 0.018,
};

/** Parts of a group against each other; what is not named counts 1. */
const within: Readonly<Record<string, number>> = {
  // L5 and S1 carry most lumbar, C7 and C6 most cervical root lesions; thoracic ones are rare.
  'root:C5': 1.5,
  'root:C6': 2,
  'root:C7': 4,
  'root:C8': 1.3,
  'root:T1': 0.6,
  'root:L1': 0.06,
  'root:L2': 0.4,
  'root:L3': 0.8,
  'root:L4': 1.6,
  'root:L5': 5,
  'root:S1': 5,
  'root:S2': 0.25,
  'nerve:median-wrist': 5,
  'nerve:ulnar-elbow': 3,
  'nerve:common-fibular': 2,
  'nerve:radial-spiral-groove': 1.3,
  'nerve:lateral-femoral-cutaneous': 2.2,
  'nerve:femoral': 1,
  'nerve:axillary': 0.7,
  'nerve:sciatic': 0.7,
  'nerve:ulnar-wrist': 0.5,
  'nerve:radial-axilla': 0.4,
  'nerve:posterior-interosseous': 0.5,
  'nerve:median-elbow': 0.5,
  'nerve:anterior-interosseous': 0.4,
  'nerve:long-thoracic': 0.4,
  'nerve:suprascapular': 0.4,
  'nerve:musculocutaneous': 0.3,
  'nerve:obturator': 0.25,
  'nerve:tibial': 0.6,
  'nerve:deep-fibular': 0.5,
  'nerve:superficial-fibular': 0.25,
  'plexus:brachial-upper-trunk': 0.7,
  'plexus:brachial-middle-trunk': 0.15,
  'plexus:brachial-lower-trunk': 1,
  // In cancer the sacral plexus is struck more often than the lumbar, in diabetes less (Jaeckle 1985, from memory).
  'plexus:sacral': 0.6,
  'plexus:lumbar': 0.8,
  'polyneuropathy:length-dependent': 5,
  'junction:postsynaptic': 4,
  'brainstem:midbrain': 0.6,
  'brainstem:pons': 1.4,
  'systemic:hypothyroid': 1.2,
  'systemic:hypocalcaemia': 0.9,
};
const thoracicRoot = 0.04;

/** Cord patterns and regions against each other. */
const cordPattern = { complete: 1, hemi: 2, central: 0.7, anterior: 0.25, posterolateral: 0.6 };
const cordLevel: Readonly<Record<string, number>> = {
  C1: 0.5,
  C2: 0.7,
  C3: 1.1,
  C4: 1.7,
  C5: 2.2,
  C6: 2.2,
  C7: 1.5,
  C8: 1,
  T11: 1.1,
  T12: 1.1,
  L1: 0.8,
};

/** Of lesions that can be on one side, this part is on both sides at once. */
const bilateral: Partial<Record<Group, number>> = {
  hemisphere: 0.02,
  'internal-capsule': 0.01,
  brainstem: 0.06,
  cerebellum: 0.3,
  cord: 0.75,
  'cauda-equina': 0.86,
  'anterior-horn': 0.5,
  root: 0.05,
  plexus: 0.03,
  nerve: 0.06,
};
/** Nerves that are often caught on both sides. */
const bothWrists = 0.15;

/** B12, copper and nitrous oxide strike the lower neck and upper back, seldom the cord's end (from memory). */
const lowPosterolateral: ReadonlySet<string> = new Set(['T10', 'T11', 'T12', 'L1']);

function part(lesion: Lesion): number {
  const { focus } = lesion;
  if (
    focus.group === 'cord' &&
    focus.pattern === 'posterolateral' &&
    lowPosterolateral.has(focus.level)
  ) {
    return cordPattern.posterolateral * 0.3;
  }
  if (focus.group === 'cord') return cordPattern[focus.pattern] * (cordLevel[focus.level] ?? 0.9);
  if (focus.group === 'root' && within[lesion.site] === undefined) return thoracicRoot;
  return within[lesion.site] ?? 1;
}

function sideShare(lesion: Lesion): number {
  const { group } = lesion.focus;
  const oneSided = group === 'cord' && lesion.focus.pattern === 'hemi';
  if (oneSided) return 0.5;
  const twoSided = lesion.side === 'both' || lesion.side === 'none';
  if (group === 'cord' && lesion.focus.pattern !== 'central') return 1;
  const both = lesion.site === 'nerve:median-wrist' ? bothWrists : bilateral[group];
  if (both === undefined) return 1;
  return twoSided ? both : (1 - both) / 2;
}

/** The prior of each lesion, adding to 1 over the list. */
export function priors(lesions: readonly Lesion[]): readonly number[] {
  const sums = new Map<Group, number>();
  const own = lesions.map((lesion) => part(lesion) * sideShare(lesion));
  lesions.forEach(({ focus }, i) => {
    sums.set(focus.group, (sums.get(focus.group) ?? 0) + (own[i] ?? 0));
  });
  const raw = lesions.map(
    ({ focus }, i) => (groupShare[focus.group] * (own[i] ?? 0)) / (sums.get(focus.group) ?? 1),
  );
  const all = raw.reduce((a, b) => a + b, 0);
  return raw.map((p) => p / all);
}

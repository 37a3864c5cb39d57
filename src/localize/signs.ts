import { arcs, segmentIndex } from '../anatomy/index.ts';
import { type Lateral, laterals, type Side, type SignSite } from '../exam/index.ts';
import { bodySidesOf } from './brain.ts';
import type { Course } from './course.ts';
import type { Damage } from './damage.ts';
import { arcChange, lowerMotor, patchLoss, upperMotor } from './effect.ts';
import { either } from './grid.ts';
import { type Lesion, sidesHit } from './lesion.ts';

/** Base rates of signs in people without the lesion (from memory but where a source is named). */
const base: Readonly<Record<SignSite, number>> = {
  hoffmann: 0.025, // Gruenberger 2023: 2-3 % of the public
  tromner: 0.04,
  romberg: 0.02,
  'pronator-drift': 0.015,
  'straight-leg-raise': 0.06,
  'femoral-stretch': 0.04,
  spurling: 0.05, // specificity 89-100 % in most series, from memory
  lhermitte: 0.008,
  'finger-escape': 0.015,
  palmomental: 0.15,
  grasp: 0.005,
  snout: 0.06,
  glabellar: 0.06,
  'scapular-winging': 0.01,
  'tinel-wrist': 0.1,
  'tinel-elbow': 0.08,
  'tinel-fibular-neck': 0.03,
  phalen: 0.1,
  'facial-weakness-lower': 0.008,
  'facial-weakness-whole': 0.008,
  ptosis: 0.015,
  horner: 0.003,
  dysarthria: 0.02,
  'fatigable-weakness': 0.01,
  'post-effort-facilitation': 0.002,
  'tongue-wasting': 0.003,
  'tongue-fasciculation': 0.004,
  'gaze-palsy': 0.006,
  'visual-field-loss': 0.01,
  aphasia: 0.006,
  neglect: 0.006,
};

const orBase = (site: SignSite, p: number): number => either(base[site], Math.min(0.97, p));

/** The chance that a sign is present under a lesion. Midline and either-sided signs take the larger side. */
export function signChance(lesion: Lesion, course: Course, site: SignSite, side: Side): number {
  const on = (s: Lateral): number => orBase(site, sided(lesion, course, site, s));
  return side === 'midline' ? Math.max(on('left'), on('right')) : on(side);
}

const onSide = (lesion: Lesion, side: Lateral): boolean => sidesHit(lesion.side).includes(side);
const across = (lesion: Lesion, side: Lateral): boolean => bodySidesOf(lesion).includes(side);

/** Release of the finger flexors: what Hoffmann, Tromner and finger escape show. */
function handRelease(damage: Damage, side: Lateral): number {
  const arc = arcs['finger-flexor'];
  const { down, up } = arcChange(damage, 'finger-flexor', side, arc.reach, arc.limb);
  return up * (1 - down);
}

const jointSenseOfFeet = (damage: Damage): number =>
  Math.max(...laterals.map((side) => patchLoss(damage, 'great-toe', side, 'column')));

function sided(lesion: Lesion, course: Course, site: SignSite, side: Lateral): number {
  const { focus } = lesion;
  const { damage } = course;
  const bulbar = course.bulbar ?? 0;
  const { group } = focus;
  const place = 'place' in focus ? focus.place : undefined;
  const brain = group === 'hemisphere' || group === 'internal-capsule';
  const stem = group === 'brainstem';
  const here = onSide(lesion, side);
  const rootLevel = group === 'root' && here ? segmentIndex(focus.level) : -1;
  const rootIn = (first: string, last: string): boolean =>
    rootLevel >= segmentIndex(first as 'C1') && rootLevel <= segmentIndex(last as 'C1');
  const nerve = group === 'nerve' && here ? place : undefined;
  switch (site) {
    // Sensitivity 46-59 % in myelopathy (Fogarty 2018; SSRR 2024); some hands show nothing.
    case 'hoffmann':
    case 'tromner':
      return 0.68 * handRelease(damage, side);
    case 'finger-escape':
      return group === 'cord' ? 0.3 * handRelease(damage, side) : 0.05 * handRelease(damage, side);
    case 'romberg':
      return either(0.75 * jointSenseOfFeet(damage), 0.35 * damage.ataxia.trunk);
    case 'pronator-drift': {
      const weak = upperMotor(damage, 'shoulder-abduction', side);
      const seen = weak > 0.03 ? 0.35 + 0.5 * Math.min(1, weak * 1.5) : 0;
      return (brain || stem ? 0.95 : 0.6) * seen;
    }
    case 'straight-leg-raise':
      if (rootIn('L5', 'S1')) return 0.65;
      if (rootIn('L4', 'L4') || rootIn('S2', 'S2')) return 0.3;
      return group === 'cauda-equina' ? 0.4 : 0.02;
    case 'femoral-stretch':
      if (rootIn('L2', 'L4')) return 0.6;
      if (nerve === 'femoral') return 0.2;
      return place === 'lumbar' && here ? 0.3 : group === 'cauda-equina' ? 0.12 : 0;
    // Sensitivity about half of proven root lesions (Wainner 2003, from memory).
    case 'spurling':
      return rootIn('C5', 'C8')
        ? 0.5
        : rootIn('T1', 'T1')
          ? 0.2
          : group === 'cord' && segmentIndex(focus.level) < 8
            ? 0.1
            : 0;
    case 'lhermitte':
      if (group !== 'cord' || segmentIndex(focus.level) > 9) return 0;
      return focus.pattern === 'anterior' ? 0.05 : 0.22;
    case 'palmomental':
    case 'snout':
    case 'glabellar':
      return group === 'hemisphere' ? 0.25 : group === 'motor-neuron' ? 0.25 * bulbar : 0;
    case 'grasp':
      return group === 'hemisphere' && across(lesion, side) ? 0.2 : 0;
    case 'scapular-winging':
      return 0.85 * lowerMotor(damage, 'scapular-protraction', side);
    case 'tinel-wrist':
    case 'phalen':
      return nerve === 'median-wrist'
        ? 0.6
        : site === 'tinel-wrist' && nerve === 'ulnar-wrist'
          ? 0.2
          : 0;
    case 'tinel-elbow':
      return nerve === 'ulnar-elbow' ? 0.6 : 0;
    case 'tinel-fibular-neck':
      return nerve === 'common-fibular'
        ? 0.45
        : nerve === 'deep-fibular' || nerve === 'superficial-fibular'
          ? 0.12
          : 0;
    case 'facial-weakness-lower': {
      if (group === 'motor-neuron') return 0.12 * bulbar;
      if (group === 'junction') return 0.2 * bulbar;
      if (place === 'demyelinating') return 0.2 * bulbar;
      if (!across(lesion, side)) return 0;
      const arm = Math.max(...damage.pyramidal.map((p) => (p.side === side ? p.arm : 0)), 0);
      if (group === 'hemisphere') return arm > 0.3 ? 0.75 : arm > 0.04 ? 0.3 : 0.08;
      if (group === 'internal-capsule') return 0.7;
      if (place === 'midbrain') return arm > 0.1 ? 0.55 : 0.05;
      return place === 'pons' ? (arm > 0.1 ? 0.35 : 0.02) : 0;
    }
    case 'facial-weakness-whole':
      if (place === 'pons' && here) return 0.5;
      if (place === 'demyelinating') return 0.35 * bulbar + 0.08;
      if (place === 'postsynaptic') return 0.3 * bulbar;
      if (place === 'presynaptic') return 0.35 * bulbar;
      return group === 'motor-neuron' ? 0.05 * bulbar : 0;
    case 'ptosis':
      if (place === 'midbrain' && here) return 0.6;
      if (place === 'postsynaptic') return bulbar < 0.25 ? 0.75 : 0.6;
      if (place === 'presynaptic') return 0.25 + 0.5 * bulbar;
      if (place === 'medulla' && here) return 0.3;
      return 0.6 * horner(lesion, side);
    case 'horner':
      return horner(lesion, side);
    case 'dysarthria':
      if (brain) return 0.4;
      if (stem) return place === 'midbrain' ? 0.3 : 0.5;
      if (group === 'cerebellum') return lesion.side === 'both' ? 0.6 : 0.35;
      if (group === 'motor-neuron') return 0.15 + 0.75 * bulbar;
      if (place === 'postsynaptic') return 0.1 + 0.6 * bulbar;
      if (place === 'presynaptic') return 0.6 * bulbar;
      return place === 'demyelinating'
        ? 0.2 * bulbar
        : place === 'hypermagnesaemia'
          ? 0.3 * bulbar
          : 0;
    case 'fatigable-weakness':
      return place === 'postsynaptic' ? 0.85 : place === 'presynaptic' ? 0.15 : 0;
    case 'post-effort-facilitation':
      return place === 'presynaptic' ? 0.75 : 0;
    case 'tongue-wasting':
    case 'tongue-fasciculation':
      if (group === 'motor-neuron') return 0.15 + 0.6 * bulbar;
      return place === 'medulla' ? (site === 'tongue-wasting' ? 0.2 : 0.08) : 0;
    case 'gaze-palsy':
      if (place === 'pons') return 0.35;
      if (place === 'midbrain') return 0.35;
      if (group === 'hemisphere') return 0.15;
      return place === 'postsynaptic' ? 0.3 : 0;
    case 'visual-field-loss':
      return group === 'hemisphere' && across(lesion, side)
        ? 0.35
        : group === 'internal-capsule' && across(lesion, side)
          ? 0.06
          : 0;
    // The dominant hemisphere is the left one in nearly all: the one place where sides do not mirror.
    case 'aphasia':
      if (group !== 'hemisphere') return brain ? 0.03 : 0;
      return lesion.side === 'right' ? 0.05 : 0.42;
    case 'neglect':
      return group === 'hemisphere' && across(lesion, side) ? 0.3 : 0;
  }
}

/** The sympathetic way: hypothalamus down the lateral brainstem and cord to C8-T2, out by T1. */
function horner(lesion: Lesion, side: Lateral): number {
  const { focus } = lesion;
  if (!onSide(lesion, side)) return 0;
  switch (focus.group) {
    case 'root':
      return focus.level === 'T1' ? 0.4 : focus.level === 'C8' ? 0.08 : 0;
    case 'plexus':
      return focus.place === 'brachial-lower-trunk' ? 0.3 : 0;
    case 'cord': {
      const at = segmentIndex(focus.level);
      if (at > 9) return 0;
      return focus.pattern === 'posterolateral' || focus.pattern === 'anterior'
        ? 0.02
        : at >= 6
          ? 0.28
          : 0.12;
    }
    case 'brainstem':
      return focus.place === 'medulla' ? 0.45 : 0.12;
    default:
      return 0;
  }
}

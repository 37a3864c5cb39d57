import { segmentIndex } from '../anatomy/index.ts';
import type { CircumstanceFinding } from '../exam/index.ts';
import type { Course } from './course.ts';
import { either } from './grid.ts';
import type { Lesion } from './lesion.ts';
import type { OnsetShape } from './onsetScale.ts';

type Circumstance = CircumstanceFinding['site'];

/** How often each circumstance is told in people examined for something else (from memory). */
const base: Readonly<Record<Circumstance, number>> = {
  diabetes: 0.1,
  'thyroid-low': 0.02,
  'thyroid-high': 0.01,
  'magnesium-infusion': 0.004,
  'calcium-low': 0.008,
  'b12-deficiency': 0.012,
  'copper-deficiency': 0.002,
  'nitrous-oxide': 0.004,
  'recent-infection': 0.05,
  alcohol: 0.07,
  'neck-pain': 0.09,
  'back-pain': 0.15,
  'bladder-bowel': 0.025,
  'respiratory-difficulty': 0.02,
  dysphagia: 0.012,
};

const T1 = segmentIndex('T1');
const L1 = segmentIndex('L1');

/** The chance that a circumstance is told, under a lesion (from memory of standard teaching). */
export function circumstanceChance(lesion: Lesion, course: Course, site: Circumstance): number {
  return either(base[site], own(lesion, course, site));
}

function own(lesion: Lesion, course: Course, site: Circumstance): number {
  const { focus } = lesion;
  const { group } = focus;
  const place = 'place' in focus ? focus.place : undefined;
  const level = 'level' in focus ? segmentIndex(focus.level) : -1;
  const bulbar = course.bulbar ?? 0;
  switch (site) {
    case 'diabetes':
      if (place === 'length-dependent') return 0.35;
      if (place === 'lumbar') return 0.4;
      if (place === 'demyelinating') return 0.08;
      return group === 'nerve' ? 0.1 : 0;
    case 'thyroid-low':
      return place === 'hypothyroid' ? 0.9 : place === 'median-wrist' ? 0.03 : 0;
    case 'thyroid-high':
      return place === 'hyperthyroid' ? 0.9 : place === 'postsynaptic' ? 0.04 : 0;
    case 'magnesium-infusion':
      return place === 'hypermagnesaemia' ? 0.93 : 0;
    case 'calcium-low':
      return place === 'hypocalcaemia' ? 0.9 : 0;
    case 'b12-deficiency':
      return isPosterolateral(lesion) ? 0.35 : place === 'length-dependent' ? 0.04 : 0;
    case 'copper-deficiency':
    case 'nitrous-oxide':
      return isPosterolateral(lesion) ? 0.1 : place === 'length-dependent' ? 0.006 : 0;
    case 'recent-infection':
      return place === 'demyelinating' ? 0.5 : group === 'cord' ? 0.05 : 0;
    case 'alcohol':
      if (place === 'length-dependent') return 0.18;
      return group === 'cerebellum' ? 0.2 : group === 'nerve' ? 0.04 : 0;
    case 'neck-pain':
      if (group === 'root' && level <= T1) return 0.7;
      if (group === 'cord' && level <= T1) {
        return focus.pattern === 'posterolateral' ? 0.1 : 0.35;
      }
      return place === 'brachial-upper-trunk' || place === 'brachial-lower-trunk' ? 0.12 : 0;
    case 'back-pain':
      if (group === 'root' && level >= L1) return 0.75;
      if (group === 'cauda-equina') return 0.75;
      if (group === 'conus') return 0.4;
      if (group === 'cord' && level > T1) return focus.pattern === 'posterolateral' ? 0.08 : 0.4;
      if (group === 'root') return 0.3;
      return place === 'demyelinating' ? 0.2 : place === 'lumbar' || place === 'sacral' ? 0.12 : 0;
    case 'bladder-bowel':
      if (group === 'conus') return 0.85;
      if (group === 'cauda-equina') return lesion.side === 'both' ? 0.6 : 0.2;
      if (group === 'cord') return cordSphincter(lesion, course);
      if (group === 'hemisphere') return 0.06;
      if (group === 'brainstem' || group === 'internal-capsule') return 0.05;
      return place === 'demyelinating' ? 0.06 : place === 'sacral' ? 0.1 : 0;
    case 'respiratory-difficulty':
      if (place === 'demyelinating') return Math.min(0.4, 0.5 * bulbar);
      if (place === 'postsynaptic' || place === 'presynaptic') return 0.05 + 0.35 * bulbar;
      if (group === 'motor-neuron') return 0.1 + 0.2 * bulbar;
      if (group === 'cord' && level <= 3 && focus.pattern !== 'posterolateral') return 0.35;
      if (place === 'hypermagnesaemia') return 0.1 + 0.4 * bulbar;
      return group === 'muscle' ? 0.06 : 0;
    case 'dysphagia':
      if (group === 'motor-neuron') return 0.1 + 0.6 * bulbar;
      if (place === 'postsynaptic' || place === 'presynaptic') return 0.05 + 0.6 * bulbar;
      if (place === 'medulla') return 0.6;
      if (place === 'pons') return 0.25;
      if (group === 'hemisphere' || group === 'internal-capsule')
        return lesion.side === 'both' ? 0.5 : 0.2;
      if (place === 'demyelinating') return 0.25 * bulbar;
      return group === 'muscle' ? 0.2 : 0;
  }
}

const isPosterolateral = (lesion: Lesion): boolean =>
  lesion.focus.group === 'cord' && lesion.focus.pattern === 'posterolateral';

function cordSphincter(lesion: Lesion, course: Course): number {
  if (lesion.focus.group !== 'cord') return 0;
  const leg = Math.max(...course.damage.pyramidal.map((p) => Math.max(p.leg, p.shock)));
  switch (lesion.focus.pattern) {
    case 'complete':
      return 0.2 + 0.65 * leg;
    case 'anterior':
      return 0.2 + 0.55 * leg;
    case 'central':
      return 0.3;
    case 'posterolateral':
      return 0.12;
    case 'hemi':
      return 0.2;
  }
}

/** How a lesion tends to begin. */
export function onsetOf(lesion: Lesion, course: Course): OnsetShape {
  const { focus } = lesion;
  switch (focus.group) {
    case 'hemisphere':
    case 'internal-capsule':
    case 'brainstem':
      return 'stroke';
    case 'cord':
      if (focus.pattern === 'posterolateral') return 'weeks';
      if (focus.pattern === 'central')
        return course.damage.pyramidal.some((p) => p.shock > 0) ? 'stroke' : 'cord';
      return course.damage.pyramidal.some((p) => p.shock > 0) ? 'stroke' : 'cord';
    case 'conus':
      return 'acute';
    case 'cauda-equina':
      return 'cord';
    case 'muscle':
      return 'slow';
    case 'motor-neuron':
      return 'neuron';
    case 'anterior-horn':
      return 'lasting';
    case 'root':
      return 'root';
    case 'plexus':
    case 'nerve':
      return focus.group === 'nerve' &&
        (focus.place === 'median-wrist' ||
          focus.place === 'ulnar-elbow' ||
          focus.place === 'ulnar-wrist')
        ? 'wrist'
        : 'nerve';
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? 'slow' : 'acute';
    case 'junction':
      return 'weeks';
    case 'systemic':
      return 'systemic';
    default:
      return 'any';
  }
}

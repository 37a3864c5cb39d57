import {
  arcBundle,
  arcs,
  isLimbReflex,
  movementBundle,
  segmentsOf,
  superficialArcs,
} from '../anatomy/index.ts';
import type { Finding, Lateral, Movement } from '../exam/index.ts';
import type { Course } from './course.ts';
import { arcChange, lowerMotor, upperMotor } from './effect.ts';
import type { Lesion } from './lesion.ts';
import { focusName } from './name.ts';
import { isNormal } from './normal.ts';

/** A lesion and the course that fits best, as reasons are told of it. */
export interface Told {
  readonly lesion: Lesion;
  readonly course: Course;
}

const lower: ReadonlySet<string> = new Set([
  'root',
  'plexus',
  'nerve',
  'cauda-equina',
  'anterior-horn',
  'polyneuropathy',
  'junction',
  'muscle',
]);

const percent = (share: number): string => `${Math.round(share * 100)} %`;
/** Diseases, not places: said without an article. */
const articleFree: ReadonlySet<string> = new Set(['polyneuropathy', 'muscle', 'systemic']);
const short = (lesion: Lesion): string => {
  const { focus } = lesion;
  if (focus.group === 'cord') return `the cord at ${focus.level}`;
  if (focus.group === 'root') return `the ${focus.level} root`;
  if (focus.group === 'no-lesion') return 'a healthy body';
  if (focus.group === 'motor-neuron') return 'motor neuron disease';
  if (focus.group === 'junction') {
    return focus.place === 'postsynaptic'
      ? 'a myasthenic junction'
      : 'a presynaptic junction disease';
  }
  if (articleFree.has(focus.group)) return focusName(focus);
  return `the ${focusName(focus)}`;
};

const named: ReadonlySet<string> = new Set([
  'hemisphere',
  'internal-capsule',
  'brainstem',
  'cerebellum',
]);
/** A place is not to blame, a lesion of it is; a disease is. */
const blamed = (lesion: Lesion): string =>
  named.has(lesion.focus.group) ? `a lesion of ${short(lesion)}` : short(lesion);

function share(lesion: Lesion, bundle: ReturnType<typeof movementBundle>): number {
  const { focus } = lesion;
  if (focus.group === 'root') return segmentsOf(bundle).find(([s]) => s === focus.level)?.[1] ?? 0;
  return 0;
}

const spans = (bundle: ReturnType<typeof movementBundle>): string => {
  const segments = segmentsOf(bundle)
    .filter(([, part]) => part >= 0.1)
    .map(([s]) => s);
  return segments.sort().join(', ');
};

/** Why a lesion gives this finding; said after the finding itself. */
export function whyFor({ lesion, course }: Told, finding: Finding): string {
  const { damage } = course;
  const { group } = lesion.focus;
  const side: Lateral = finding.side === 'right' ? 'right' : 'left';
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return `${short(lesion)} often begins so`;
    return finding.value === 'absent'
      ? `often missing with ${short(lesion)}`
      : `common with ${blamed(lesion)}`;
  }
  if (isNormal(finding)) return sparedWhy(lesion, finding);
  if (group === 'no-lesion') return 'within what healthy people show';
  switch (finding.kind) {
    case 'strength':
    case 'bulk':
    case 'fasciculation': {
      const movement = finding.site as Movement;
      const part = share(lesion, movementBundle(movement));
      if (part > 0) return `${short(lesion)} serves it (about ${percent(part)})`;
      if (group === 'nerve' || group === 'plexus') return `runs through ${short(lesion)}`;
      const up = upperMotor(damage, movement, side);
      const down = lowerMotor(damage, movement, side);
      if (up > down && up > 0.03) return 'its corticospinal tract is cut above';
      if (group === 'cord' || group === 'conus')
        return 'its anterior horn cells lie at the level of the lesion';
      return `expected with ${blamed(lesion)}`;
    }
    case 'reflex': {
      if (!isLimbReflex(finding.site)) return 'its control from above is lost on both sides';
      const arc = arcs[finding.site];
      const { down, up } = arcChange(damage, finding.site, side, arc.reach, arc.limb);
      if (group === 'systemic') return `reflexes change alike everywhere with ${short(lesion)}`;
      const low = finding.value === '0' || finding.value === '1+';
      if (low && down > 0) {
        const part = share(lesion, arcBundle(finding.site));
        if (part > 0) return `${short(lesion)} carries its arc (about ${percent(part)})`;
        if (damage.pyramidal.some((p) => p.shock > 0) && group !== 'cord')
          return 'an acute lesion above may leave reflexes low';
        return group === 'cord'
          ? 'its arc lies at the level of the lesion, or the cord is in shock'
          : `its arc is interrupted in ${short(lesion)}`;
      }
      return up > 0
        ? 'released from above: the descending control is lost'
        : `expected with ${blamed(lesion)}`;
    }
    case 'clonus':
    case 'tone':
      return upperKind(lesion)
        ? 'released from above: the descending control is lost'
        : `expected with ${blamed(lesion)}`;
    case 'plantar':
      return finding.value === 'extensor'
        ? 'the corticospinal tract is cut above S1'
        : 'the toes cannot answer, or the arc is cut';
    case 'sensation':
      return sensoryWhy(lesion, finding.modality);
    case 'superficial':
      return superficialArcs[finding.site] !== undefined && upperKind(lesion)
        ? 'lost below a cut of the descending tract or at its segment'
        : `its arc is in ${short(lesion)}`;
    default:
      return `expected with ${blamed(lesion)}`;
  }
}

const upperKind = (lesion: Lesion): boolean => !lower.has(lesion.focus.group);

function sensoryWhy(lesion: Lesion, modality: string): string {
  const pain = modality === 'pinprick' || modality === 'temperature';
  switch (lesion.focus.group) {
    case 'root':
      return `skin of ${short(lesion)}`;
    case 'nerve':
    case 'plexus':
      return `skin beyond ${short(lesion)}`;
    case 'cord':
    case 'conus':
      return pain
        ? 'pain and temperature have crossed and are cut below the level'
        : 'the dorsal column of the same side is cut below the level';
    case 'polyneuropathy':
      return 'the longest fibres go first';
    case 'cauda-equina':
      return 'the lumbosacral roots together';
    default:
      return `its pathway runs through ${short(lesion)}`;
  }
}

function sparedWhy(lesion: Lesion, finding: Finding): string {
  const { group } = lesion.focus;
  if (group === 'no-lesion') return 'normal';
  if (finding.kind === 'strength') {
    const bundle = movementBundle(finding.site);
    if (group === 'root' && share(lesion, bundle) < 0.1)
      return `spared as expected: served by ${spans(bundle)}`;
  }
  return `spared, as ${short(lesion)} would leave it`;
}

/** Why a finding speaks against a lesion, or is left over by it. */
export function whyAgainst({ lesion }: Told, finding: Finding): string {
  const { group } = lesion.focus;
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return `${short(lesion)} seldom begins so`;
    return finding.value === 'absent'
      ? `common with ${blamed(lesion)}`
      : `not usual with ${blamed(lesion)}`;
  }
  const released =
    (finding.kind === 'reflex' && (finding.value === '3+' || finding.value === '4+')) ||
    (finding.kind === 'clonus' && finding.value !== 'absent') ||
    (finding.kind === 'plantar' && finding.value === 'extensor') ||
    (finding.kind === 'tone' && finding.value === 'spastic') ||
    (finding.kind === 'sign' &&
      (finding.site === 'hoffmann' || finding.site === 'tromner') &&
      finding.value === 'present');
  if (released && lower.has(group)) {
    const what = group === 'root' ? 'a root' : group === 'nerve' ? 'a nerve' : short(lesion);
    return `${what} cannot release a reflex or raise the toe; that takes a lesion above`;
  }
  if (group === 'no-lesion') return 'more than variation within normal';
  if (isNormal(finding)) {
    if (finding.kind === 'strength' && group === 'root') {
      return `${short(lesion)} serves it and should weaken it`;
    }
    return `${short(lesion)} would tend to change it`;
  }
  if (finding.kind === 'strength') {
    return `not weakened by ${short(lesion)}; it is served by ${spans(movementBundle(finding.site))}`;
  }
  if (finding.kind === 'reflex' && isLimbReflex(finding.site)) {
    return `not accounted for by ${short(lesion)}; its arc is ${spans(arcBundle(finding.site))}`;
  }
  return `not accounted for by ${short(lesion)}`;
}

import {
  arcBundle,
  arcs,
  isLimbReflex,
  type LimbReflex,
  movementBundle,
  segmentsOf,
  shareThrough,
} from '../anatomy/index.ts';
import { type Finding, type Lateral, type Movement, mirror } from '../exam/index.ts';
import type { Course } from './course.ts';
import { arcChange, lowerMotor, toeMute, toeUp, upperMotor } from './effect.ts';
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
  if (focus.group === 'motor-neuron') return 'motor neuron disease';
  if (focus.group === 'junction') {
    return focus.place === 'postsynaptic'
      ? 'a myasthenic junction'
      : 'a presynaptic junction disease';
  }
  if (articleFree.has(focus.group)) return focusName(focus);
  return `the ${focusName(focus)}`;
};

const diseases: ReadonlySet<string> = new Set([...articleFree, 'motor-neuron', 'junction']);
/** A place is not to blame, a lesion of it is; a disease is. */
const blamed = (lesion: Lesion): string => {
  const { group } = lesion.focus;
  if (diseases.has(group)) return short(lesion);
  return `${group === 'anterior-horn' ? 'disease' : 'a lesion'} of ${short(lesion)}`;
};
/** "with a lesion of the L5 root", "in healthy people". */
const company = (lesion: Lesion): string =>
  lesion.focus.group === 'no-lesion' ? 'in healthy people' : `with ${blamed(lesion)}`;

const brain: ReadonlySet<string> = new Set(['hemisphere', 'internal-capsule', 'brainstem']);
/** Cuts of a place on the way from the cord to the periphery: here it counts what serves a muscle. */
const cutGroups: ReadonlySet<string> = new Set([
  'root',
  'plexus',
  'nerve',
  'cauda-equina',
  'conus',
  'cord',
]);

/** The share of a bundle that a cut of this plexus or nerve takes. */
function through(lesion: Lesion, bundle: Bundle): number {
  const { focus } = lesion;
  if (focus.group === 'nerve') return shareThrough(bundle, `nerve:${focus.place}`);
  if (focus.group === 'plexus') return shareThrough(bundle, `plexus:${focus.place}`);
  return 0;
}
type Bundle = ReturnType<typeof movementBundle>;

function share(lesion: Lesion, bundle: Bundle): number {
  const { focus } = lesion;
  if (focus.group === 'root') return segmentsOf(bundle).find(([s]) => s === focus.level)?.[1] ?? 0;
  return 0;
}

const spans = (bundle: Bundle): string => {
  const segments = segmentsOf(bundle)
    .filter(([, part]) => part >= 0.1)
    .map(([s]) => s);
  return segments.sort().join(', ');
};

/** Why a lesion gives this finding; said after the finding itself, of one finding or of several. */
export function whyFor({ lesion, course }: Told, finding: Finding): string {
  const { damage } = course;
  const { group } = lesion.focus;
  const side: Lateral = finding.side === 'right' ? 'right' : 'left';
  const fits = `expected ${company(lesion)}`;
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return `usual ${company(lesion)}`;
    return `${finding.value === 'absent' ? 'often missing' : 'common'} ${company(lesion)}`;
  }
  if (isNormal(finding)) return sparedWhy(lesion, finding);
  if (group === 'no-lesion') return 'within what healthy people show';
  switch (finding.kind) {
    case 'strength':
    case 'bulk':
    case 'fasciculation':
      return weakWhy({ lesion, course }, finding.site, side) ?? fits;
    case 'reflex':
      if (!isLimbReflex(finding.site)) return 'control from above is lost on both sides';
      return reflexWhy({ lesion, course }, finding.site, finding.value, side) ?? fits;
    case 'tone':
      if (finding.value === 'reduced')
        return upperKind(lesion) && damage.pyramidal.some(({ shock }) => shock > 0)
          ? 'an acute lesion above may leave the limb slack'
          : fits;
      return upperKind(lesion) ? released : fits;
    case 'clonus':
      return upperKind(lesion) ? released : fits;
    case 'plantar':
      if (finding.value === 'extensor') return 'the corticospinal tract is cut above S1';
      return toeMute(damage, side) > 0.1 ? 'the toes cannot answer, or the arc is cut' : fits;
    case 'sensation':
      return sensoryWhy(lesion, finding.modality);
    case 'superficial':
      if (group === 'conus') return 'its arc lies at the level of the lesion';
      return upperKind(lesion)
        ? 'lost below a cut of the descending tract or at its segment'
        : `its arc runs through ${short(lesion)}`;
    case 'sign':
      if ((finding.site === 'hoffmann' || finding.site === 'tromner') && upperKind(lesion))
        return released;
      return fits;
    default:
      return fits;
  }
}

const released = 'released from above: the descending control is lost';
const upperKind = (lesion: Lesion): boolean => !lower.has(lesion.focus.group);

function weakWhy(
  { lesion, course: { damage } }: Told,
  movement: Movement,
  side: Lateral,
): string | undefined {
  const { focus } = lesion;
  const bundle = movementBundle(movement);
  const part = share(lesion, bundle);
  if (part > 0) return `${short(lesion)} serves it (about ${percent(part)})`;
  const passing = through(lesion, bundle);
  if (passing > 0.75) return `supplied through ${short(lesion)}`;
  if (passing > 0.05)
    return `supplied in part through ${short(lesion)} (about ${percent(passing)})`;
  const up = upperMotor(damage, movement, side);
  const down = lowerMotor(damage, movement, side);
  if (up > down && up > 0.03) {
    if (focus.group === 'motor-neuron') return 'the upper motor neurons are lost';
    return brain.has(focus.group)
      ? `its corticospinal tract runs through ${short(lesion)}`
      : 'its corticospinal tract is cut above';
  }
  switch (focus.group) {
    case 'cord':
    case 'conus':
      return 'its anterior horn cells lie at the level of the lesion';
    case 'motor-neuron':
    case 'anterior-horn':
      return 'its anterior horn cells are lost';
    case 'cauda-equina':
      return 'its roots run in the cauda equina';
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? 'the longest nerves weaken first' : undefined;
    default:
      return undefined;
  }
}

function reflexWhy(
  { lesion, course: { damage } }: Told,
  site: LimbReflex,
  grade: string,
  side: Lateral,
): string | undefined {
  const { focus } = lesion;
  if (focus.group === 'systemic') return `reflexes change alike everywhere with ${short(lesion)}`;
  const { down, up } = arcChange(damage, site, side, arcs[site].reach, arcs[site].limb);
  const low = grade === '0' || grade === '1+';
  if (!low || down <= 0) return up > 0 ? released : undefined;
  const part = share(lesion, arcBundle(site));
  if (part > 0) return `${short(lesion)} carries its arc (about ${percent(part)})`;
  if (damage.pyramidal.some((p) => p.side === side && p.shock > 0)) {
    return focus.group === 'cord'
      ? 'its arc lies at the level of the lesion, or the cord is in shock'
      : 'an acute lesion above may leave reflexes low';
  }
  switch (focus.group) {
    case 'cord':
    case 'conus':
      return 'its arc lies at the level of the lesion';
    case 'nerve':
    case 'plexus':
    case 'cauda-equina':
      return `its arc runs through ${short(lesion)}`;
    case 'motor-neuron':
    case 'anterior-horn':
      return 'the anterior horn cells of its arc are lost';
    case 'polyneuropathy':
      return focus.place === 'length-dependent'
        ? 'the longest arcs are lost first'
        : 'reflexes are lost early where nerve and root lose their myelin';
    default:
      return undefined;
  }
}

function sensoryWhy(lesion: Lesion, modality: string): string {
  const { focus } = lesion;
  const pain = modality === 'pinprick' || modality === 'temperature';
  switch (focus.group) {
    case 'root':
      return `skin of ${short(lesion)}`;
    case 'nerve':
    case 'plexus':
      return `skin beyond ${short(lesion)}`;
    case 'cord':
      if (!pain) return 'the dorsal column of the same side is cut at the level';
      return focus.pattern === 'central'
        ? 'pain and temperature fibres are cut where they cross'
        : 'pain and temperature have crossed and are cut at the level';
    case 'conus':
      return 'its segments lie in the conus';
    case 'polyneuropathy':
      return focus.place === 'length-dependent'
        ? 'the longest fibres go first'
        : `expected ${company(lesion)}`;
    case 'cauda-equina':
      return 'the lumbosacral roots together';
    default:
      return upperKind(lesion) && brain.has(focus.group)
        ? `its pathway runs through ${short(lesion)}`
        : `expected ${company(lesion)}`;
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
  return `spared, as ${blamed(lesion)} would leave it`;
}

const isReleased = (finding: Finding): boolean =>
  (finding.kind === 'reflex' && (finding.value === '3+' || finding.value === '4+')) ||
  (finding.kind === 'clonus' && finding.value !== 'absent') ||
  (finding.kind === 'plantar' && finding.value === 'extensor') ||
  (finding.kind === 'tone' && finding.value === 'spastic') ||
  (finding.kind === 'sign' &&
    (finding.site === 'hoffmann' || finding.site === 'tromner') &&
    finding.value === 'present');

/** Why a finding speaks against a lesion, or is left over by it. */
export function whyAgainst({ lesion, course }: Told, finding: Finding): string {
  const { group } = lesion.focus;
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return `unusual ${company(lesion)}`;
    return `${finding.value === 'absent' ? 'common' : 'not usual'} ${company(lesion)}`;
  }
  if (isReleased(finding) && lower.has(group)) {
    const what = group === 'root' ? 'a root' : group === 'nerve' ? 'a nerve' : blamed(lesion);
    return `${what} cannot release a reflex or raise the toe; that takes a lesion above`;
  }
  if (group === 'no-lesion') return 'more than variation within normal';
  if (isNormal(finding)) return missedWhy({ lesion, course }, finding);
  const across = finding.side !== 'midline' && mirror(finding.side) === lesion.side;
  if (across && cutGroups.has(group) && group !== 'cord')
    return `a lesion on the ${lesion.side} leaves the ${finding.side} side alone`;
  const bundle =
    finding.kind === 'strength'
      ? movementBundle(finding.site)
      : finding.kind === 'reflex' && isLimbReflex(finding.site)
        ? arcBundle(finding.site)
        : undefined;
  if (bundle === undefined || !cutGroups.has(group))
    return `not accounted for by ${blamed(lesion)}`;
  const part = share(lesion, bundle);
  if (finding.kind === 'strength') {
    return part > 0
      ? `${short(lesion)} serves only about ${percent(part)} of it`
      : `not weakened by ${blamed(lesion)}; served by ${spans(bundle)}`;
  }
  // It lies on the arc, and yet the rest makes it likelier that the reflex was low all along.
  if (Math.max(part, through(lesion, bundle)) >= 0.3)
    return `${short(lesion)} is on its arc, but it may have been so before`;
  return `not accounted for by ${blamed(lesion)}; the arc is ${spans(bundle)}`;
}

/** What a lesion would have been expected to do to something that was found normal. */
function missedWhy({ lesion, course: { damage } }: Told, finding: Finding): string {
  const side: Lateral = finding.side === 'right' ? 'right' : 'left';
  const would = `would be expected ${company(lesion)}`;
  switch (finding.kind) {
    case 'strength':
      return share(lesion, movementBundle(finding.site)) >= 0.1
        ? `${short(lesion)} serves it and should weaken it`
        : `weakness ${would}`;
    case 'bulk':
      return `wasting ${would}`;
    case 'reflex': {
      if (!isLimbReflex(finding.site)) return `a brisk one ${would}`;
      const { reach, limb } = arcs[finding.site];
      const { down, up } = arcChange(damage, finding.site, side, reach, limb);
      return `a ${up > down ? 'brisk' : 'low'} reflex ${would}`;
    }
    case 'plantar':
      return toeUp(damage, side) >= toeMute(damage, side)
        ? `a rising toe ${would}`
        : `a mute response ${would}`;
    case 'sensation':
      return `loss of feeling there ${would}`;
    case 'superficial':
      return `its loss ${would}`;
    case 'tone':
      return `a change of tone ${would}`;
    case 'coordination':
      return `clumsiness ${would}`;
    case 'gait':
      return `a changed gait ${would}`;
    default:
      return `its presence ${would}`;
  }
}

/** Why a quality of a reflex (slow relaxation, inversion, spread) is there, or is left over. */
export const qualityFor = ({ lesion }: Told): string => `expected ${company(lesion)}`;
export const qualityAgainst = ({ lesion }: Told): string =>
  lesion.focus.group === 'no-lesion'
    ? 'more than variation within normal'
    : `not accounted for by ${blamed(lesion)}`;

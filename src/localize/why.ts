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
import type { LocalizeMessages, Missed } from './messages/argument.ts';
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

const spans = (bundle: Bundle): readonly string[] =>
  segmentsOf(bundle)
    .filter(([, part]) => part >= 0.1)
    .map(([s]) => s)
    .sort();

/** Why a lesion gives this finding; said after the finding itself, of one finding or of several. */
export function whyFor(
  { lesion, course }: Told,
  finding: Finding,
  messages: LocalizeMessages,
): string {
  const { why, whyOf } = messages;
  const { damage } = course;
  const { group } = lesion.focus;
  const side: Lateral = finding.side === 'right' ? 'right' : 'left';
  const fits = whyOf.expected(lesion);
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return whyOf.usual(lesion);
    // That something was denied is never so telling (`circumstance.ts`) that it speaks for a lesion.
    return whyOf.common(lesion);
  }
  if (isNormal(finding)) return sparedWhy(lesion, finding, messages);
  if (group === 'no-lesion') return why.healthy;
  switch (finding.kind) {
    case 'strength':
    case 'bulk':
    case 'fasciculation':
      return weakWhy({ lesion, course }, finding.site, side, messages) ?? fits;
    case 'reflex':
      if (!isLimbReflex(finding.site)) return why.lostAbove;
      return (
        reflexWhy(
          { lesion, course },
          { site: finding.site, value: finding.value },
          side,
          messages,
        ) ?? fits
      );
    case 'tone':
      if (finding.value === 'reduced')
        return upperKind(lesion) && damage.pyramidal.some(({ shock }) => shock > 0)
          ? why.slack
          : fits;
      return upperKind(lesion) ? why.released : fits;
    case 'clonus':
      return upperKind(lesion) ? why.released : fits;
    case 'plantar':
      if (finding.value === 'extensor') return why.tractCut;
      return toeMute(damage, side) > 0.1 ? why.toesOrArc : fits;
    case 'sensation':
      return sensoryWhy(lesion, finding.modality, messages);
    case 'superficial':
      if (group === 'conus') return why.arcAtLevel;
      return upperKind(lesion) ? why.belowOrAtSegment : whyOf.arcThrough(lesion);
    case 'sign':
      if ((finding.site === 'hoffmann' || finding.site === 'tromner') && upperKind(lesion))
        return why.released;
      return fits;
    default:
      return fits;
  }
}

const upperKind = (lesion: Lesion): boolean => !lower.has(lesion.focus.group);

function weakWhy(
  { lesion, course: { damage } }: Told,
  movement: Movement,
  side: Lateral,
  { why, whyOf, whyShare }: LocalizeMessages,
): string | undefined {
  const { focus } = lesion;
  const bundle = movementBundle(movement);
  const part = share(lesion, bundle);
  if (part > 0) return whyShare.serves(lesion, part);
  const passing = through(lesion, bundle);
  if (passing > 0.75) return whyOf.suppliedThrough(lesion);
  if (passing > 0.05) return whyShare.suppliedInPart(lesion, passing);
  const up = upperMotor(damage, movement, side);
  const down = lowerMotor(damage, movement, side);
  if (up > down && up > 0.03) {
    if (focus.group === 'motor-neuron') return why.upperNeuronsLost;
    return brain.has(focus.group) ? whyOf.tractThrough(lesion) : why.tractCutAbove;
  }
  switch (focus.group) {
    case 'cord':
    case 'conus':
      return why.hornAtLevel;
    case 'motor-neuron':
    case 'anterior-horn':
      return why.hornLost;
    case 'cauda-equina':
      return why.rootsInCauda;
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? why.longestWeaken : undefined;
    default:
      return undefined;
  }
}

function reflexWhy(
  { lesion, course: { damage } }: Told,
  { site, value: grade }: { readonly site: LimbReflex; readonly value: string },
  side: Lateral,
  { why, whyOf, whyShare }: LocalizeMessages,
): string | undefined {
  const { focus } = lesion;
  if (focus.group === 'systemic') return whyOf.changesAlike(lesion);
  const { down, up } = arcChange(damage, site, side, arcs[site].reach, arcs[site].limb);
  const low = grade === '0' || grade === '1+';
  if (!low || down <= 0) return up > 0 ? why.released : undefined;
  const part = share(lesion, arcBundle(site));
  if (part > 0) return whyShare.carriesArc(lesion, part);
  if (damage.pyramidal.some((p) => p.side === side && p.shock > 0)) {
    return focus.group === 'cord' ? why.arcAtLevelOrShock : why.acuteLow;
  }
  switch (focus.group) {
    case 'cord':
    case 'conus':
      return why.arcAtLevel;
    case 'nerve':
    case 'plexus':
    case 'cauda-equina':
      return whyOf.arcThrough(lesion);
    case 'motor-neuron':
    case 'anterior-horn':
      return why.arcHornLost;
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? why.longestArcs : why.lostWithMyelin;
    default:
      return undefined;
  }
}

function sensoryWhy(lesion: Lesion, modality: string, { why, whyOf }: LocalizeMessages): string {
  const { focus } = lesion;
  const pain = modality === 'pinprick' || modality === 'temperature';
  switch (focus.group) {
    case 'root':
      return whyOf.skinOf(lesion);
    case 'nerve':
    case 'plexus':
      return whyOf.skinBeyond(lesion);
    case 'cord':
      if (!pain) return why.dorsalColumn;
      return focus.pattern === 'central' ? why.painWhereCrossing : why.painCrossed;
    case 'conus':
      return why.segmentsInConus;
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? why.longestFibres : whyOf.expected(lesion);
    case 'cauda-equina':
      return why.lumbosacralRoots;
    default:
      return upperKind(lesion) && brain.has(focus.group)
        ? whyOf.pathwayThrough(lesion)
        : whyOf.expected(lesion);
  }
}

function sparedWhy(lesion: Lesion, finding: Finding, messages: LocalizeMessages): string {
  const { group } = lesion.focus;
  if (group === 'no-lesion') return messages.why.normal;
  if (finding.kind === 'strength') {
    const bundle = movementBundle(finding.site);
    if (group === 'root' && share(lesion, bundle) < 0.1)
      return messages.whySegments.sparedServedBy(lesion, spans(bundle));
  }
  return messages.whyOf.spared(lesion);
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
export function whyAgainst(
  { lesion, course }: Told,
  finding: Finding,
  messages: LocalizeMessages,
): string {
  const { whyOf } = messages;
  const { group } = lesion.focus;
  if (finding.kind === 'context') {
    if (finding.site === 'onset') return whyOf.unusual(lesion);
    return finding.value === 'absent' ? whyOf.common(lesion) : whyOf.notUsual(lesion);
  }
  if (isReleased(finding) && lower.has(group)) return whyOf.cannotRelease(lesion);
  if (group === 'no-lesion') return messages.why.moreThanHealthy;
  if (isNormal(finding)) return missedWhy({ lesion, course }, finding, messages);
  const across = finding.side !== 'midline' && mirror(finding.side) === lesion.side;
  if (across && cutGroups.has(group) && group !== 'cord')
    return messages.otherSide(lesion, finding);
  const bundle =
    finding.kind === 'strength'
      ? movementBundle(finding.site)
      : finding.kind === 'reflex' && isLimbReflex(finding.site)
        ? arcBundle(finding.site)
        : undefined;
  if (bundle === undefined || !cutGroups.has(group)) return whyOf.notAccounted(lesion);
  const part = share(lesion, bundle);
  if (finding.kind === 'strength') {
    return part > 0
      ? messages.whyShare.servesOnly(lesion, part)
      : messages.whySegments.notWeakened(lesion, spans(bundle));
  }
  // It lies on the arc, and yet the rest makes it likelier that the reflex was low all along.
  if (Math.max(part, through(lesion, bundle)) >= 0.3) return whyOf.onArc(lesion);
  return messages.whySegments.notAccountedArc(lesion, spans(bundle));
}

/** What a lesion would have been expected to do to something that was found normal. */
function missedWhy(told: Told, finding: Finding, { missed, whyOf }: LocalizeMessages): string {
  const { lesion } = told;
  return finding.kind === 'strength' && share(lesion, movementBundle(finding.site)) >= 0.1
    ? whyOf.shouldWeaken(lesion)
    : missed[missedBy(told, finding)](lesion);
}

function missedBy({ course: { damage } }: Told, finding: Finding): Missed {
  const side: Lateral = finding.side === 'right' ? 'right' : 'left';
  switch (finding.kind) {
    case 'strength':
      return 'weakness';
    case 'bulk':
      return 'wasting';
    case 'reflex': {
      if (!isLimbReflex(finding.site)) return 'briskJaw';
      const { reach, limb } = arcs[finding.site];
      const { down, up } = arcChange(damage, finding.site, side, reach, limb);
      return up > down ? 'briskReflex' : 'lowReflex';
    }
    case 'plantar':
      return toeUp(damage, side) >= toeMute(damage, side) ? 'risingToe' : 'muteResponse';
    case 'sensation':
      return 'feeling';
    case 'superficial':
      return 'loss';
    case 'tone':
      return 'tone';
    case 'coordination':
      return 'clumsiness';
    case 'gait':
      return 'gait';
    default:
      return 'presence';
  }
}

/** Why a quality of a reflex (slow relaxation, inversion, spread) is there, or is left over. */
export const qualityFor = ({ lesion }: Told, { whyOf }: LocalizeMessages): string =>
  whyOf.expected(lesion);
export const qualityAgainst = ({ lesion }: Told, { why, whyOf }: LocalizeMessages): string =>
  lesion.focus.group === 'no-lesion' ? why.moreThanHealthy : whyOf.notAccounted(lesion);

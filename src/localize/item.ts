import {
  arcs,
  isPatch,
  type LimbReflex,
  movementTable,
  segmentIndex,
  superficialArcs,
} from '../anatomy/index.ts';
import {
  type ContextSite,
  type Finding,
  type Kind,
  type Lateral,
  laterals,
  type Modality,
  type Movement,
  mirror,
  type ReflexSite,
  type Side,
  type SignSite,
  type SkinSite,
  segments,
} from '../exam/index.ts';
import { circumstanceChance, onsetOf } from './circumstance.ts';
import type { Course } from './course.ts';
import {
  arcChange,
  type Channel,
  channelOf,
  type Damage,
  faceLoss,
  flaccidity,
  lowerMotor,
  patchLoss,
  spasticity,
  toeMute,
  toeUp,
  tractLost,
  upperMotor,
  weakness,
} from './damage.ts';
import { chanceCode, either } from './grid.ts';
import type { Lesion } from './lesion.ts';
import {
  type GaitBit,
  gaitCode,
  onsetCode,
  reflexCode,
  type Scale,
  scales,
  senseCode,
  strengthCode,
} from './scales.ts';
import { signChance } from './signs.ts';

/** What can be examined: one site, one side, one modality; or a quality of a reflex as a whole. */
export interface Item {
  readonly kind: Kind | 'quality';
  readonly site: string;
  readonly side: Side;
  readonly modality?: Modality;
}

export const itemId = ({ kind, site, side, modality }: Item): string =>
  `${kind}:${site}:${side}${modality === undefined ? '' : `/${modality}`}`;

export const itemOf = (finding: Finding): Item => ({
  kind: finding.kind,
  site: finding.site,
  side: finding.side,
  ...(finding.kind === 'sensation' ? { modality: finding.modality } : {}),
});

const brisk = new Set(['hoffmann', 'tromner']);
const faintReflexes = new Set([
  'deltoid',
  'pectoralis',
  'finger-flexor',
  'adductor',
  'medial-hamstring',
  'lateral-hamstring',
  'jaw',
]);
/** Where age alone takes vibration. */
const feet = new Set([
  'stocking',
  'sole',
  'great-toe',
  'dorsum-of-foot',
  'lateral-foot',
  'first-web-space',
  'S1',
  'L5',
]);

export function scaleOf(item: Item): Scale {
  switch (item.kind) {
    case 'reflex':
      return item.site === 'achilles'
        ? scales.ankle
        : faintReflexes.has(item.site)
          ? scales.faint
          : scales.reflex;
    case 'sign':
      return brisk.has(item.site) ? scales.briskSign : scales.sign;
    case 'fasciculation':
      return scales.sign;
    case 'sensation':
      return item.modality === 'vibration' && feet.has(item.site)
        ? scales.vibrationFeet
        : scales.sensation;
    case 'context':
      return item.site === 'onset' ? scales.onset : scales.circumstance;
    case 'quality':
      return scales.qualifier;
    default:
      return scales[item.kind];
  }
}

/** The state a lesion, run one course, puts an item in: a code of the item's scale. */
export function codeOf(lesion: Lesion, course: Course, item: Item): number {
  const { damage } = course;
  const { side } = item;
  switch (item.kind) {
    case 'strength': {
      const movement = item.site as Movement;
      return worst(side, (s) => strengthState(damage, movement, s));
    }
    case 'bulk': {
      const movement = item.site as Movement;
      return chanceCode(
        most(side, (s) =>
          either(0.012, 0.85 * damage.chronic * Math.min(1, 1.2 * struck(damage, movement, s))),
        ),
      );
    }
    case 'fasciculation': {
      const movement = item.site as Movement;
      const rate = neuronal(lesion)
        ? 0.7
        : lesion.focus.group === 'muscle' || lesion.focus.group === 'junction'
          ? 0
          : 0.15;
      return chanceCode(
        most(side, (s) =>
          either(
            0.015,
            rate * Math.min(1, 0.3 * (rate > 0.5 ? 1 : 0) + 1.2 * struck(damage, movement, s)),
          ),
        ),
      );
    }
    case 'reflex':
      return reflexState(damage, item.site as ReflexSite, side);
    case 'clonus': {
      const site =
        item.site === 'ankle'
          ? 'achilles'
          : item.site === 'patellar'
            ? 'patellar'
            : 'finger-flexor';
      return reflexState(damage, site, side);
    }
    case 'plantar':
      return onSide(side, (s) => reflexCode(toeMute(damage, s), toeUp(damage, s)));
    case 'tone': {
      if (item.site === 'trunk') return reflexCode(0, 0);
      const limb = item.site === 'upper-limb' ? 'arm' : 'leg';
      return onSide(side, (s) =>
        reflexCode(flaccidity(damage, limb, s), spasticity(damage, limb, s)),
      );
    }
    case 'superficial':
      return chanceCode(
        most(side, (s) => superficialLoss(damage, item.site as keyof typeof superficialArcs, s)),
      );
    case 'sensation':
      return senseCode(
        most(side, (s) =>
          skinLoss(
            lesion,
            damage,
            item.site as SkinSite,
            s,
            channelOf[item.modality ?? 'light-touch'],
          ),
        ),
      );
    case 'sign':
      return chanceCode(signChance(lesion, course, item.site as SignSite, side));
    case 'coordination':
      return chanceCode(most(side, (s) => incoordination(damage, item.site, s)));
    case 'gait':
      return gaitCode(gaitsOf(lesion, damage, side));
    case 'context':
      return item.site === 'onset'
        ? onsetCode(onsetOf(lesion, course))
        : chanceCode(
            circumstanceChance(lesion, course, item.site as Exclude<ContextSite, 'age' | 'onset'>),
          );
    case 'quality':
      return chanceCode(qualityChance(lesion, damage, item.site, side));
  }
}

const sidesFor = (side: Side): readonly Lateral[] => (side === 'midline' ? laterals : [side]);
const most = (side: Side, of: (side: Lateral) => number): number =>
  Math.max(...sidesFor(side).map(of));
const onSide = (side: Side, of: (side: Lateral) => number): number =>
  of(side === 'midline' ? 'left' : side);
const worst = most;

const neuronal = (lesion: Lesion): boolean =>
  lesion.focus.group === 'motor-neuron' || lesion.focus.group === 'anterior-horn';

function patchyChance(damage: Damage, movement: Movement, side: Lateral): number {
  return damage.diffuse.patchy?.(movementTable[movement], side) ?? 0;
}

function strengthState(damage: Damage, movement: Movement, side: Lateral): number {
  const patchy = patchyChance(damage, movement, side);
  if (patchy > 0.08)
    return strengthCode(0, either(patchy, 0.7 * upperMotor(damage, movement, side)));
  return strengthCode(weakness(damage, movement, side));
}

/** Lower motor loss of a muscle, for wasting and fasciculation. */
const struck = (damage: Damage, movement: Movement, side: Lateral): number =>
  Math.max(lowerMotor(damage, movement, side) * (damage.diffuse.patchy === undefined ? 1 : 0.8), 0);

function reflexState(damage: Damage, site: ReflexSite, side: Side): number {
  if (site === 'jaw') {
    // Its arc has both sides; one whole side keeps it.
    const down = laterals.map((s) => damage.diffuse.arcDown?.(0.05, 'arm', s) ?? 0);
    return reflexCode(Math.min(...down), damage.jaw);
  }
  const arc = arcs[site as LimbReflex];
  return onSide(side, (s) => {
    const { down, up } = arcChange(damage, site, s, arc.reach, arc.limb);
    return reflexCode(down, up);
  });
}

/**
 * Abdominal reflexes are missing in many healthy people: 15 % in all quadrants, 11 % in at least one
 * (DeJong); the others seldom (from memory).
 */
const superficialBase = { abdominal: 0.2, cremasteric: 0.12, anal: 0.03, bulbocavernosus: 0.08 };

function superficialLoss(
  damage: Damage,
  site: keyof typeof superficialArcs,
  side: Lateral,
): number {
  const arc = superficialArcs[site];
  const { down } = arcChange(damage, site, side, arc.reach, arc.limb);
  const base = site.startsWith('abdominal')
    ? superficialBase.abdominal
    : superficialBase[site as 'anal'];
  // The sacral ones have their own centre and stay when only the tract is lost.
  const released = site === 'anal' || site === 'bulbocavernosus' ? 0.1 : 0.75;
  return either(base, either(0.9 * down, released * tractLost(damage, site, side)));
}

const armPatches = [
  'lateral-arm',
  'lateral-forearm',
  'thumb',
  'middle-finger',
  'little-finger',
  'medial-forearm',
] as const;
const legPatches = [
  'anterior-thigh',
  'medial-leg',
  'lateral-leg',
  'dorsum-of-foot',
  'lateral-foot',
  'sole',
  'S2',
] as const;
const capePatches = ['C4', 'C5', 'C6', 'C7', 'C8', 'T1', 'T2'] as const;

/** Loss over a whole limb takes all of it; a loss in part of it is found as such only sometimes. */
function limbLoss(losses: readonly number[]): number {
  const sorted = [...losses].sort((a, b) => a - b);
  const low = sorted[1] ?? 0;
  const high = sorted[sorted.length - 1] ?? 0;
  return Math.max(low, 0.4 * high);
}

const brainGroups: ReadonlySet<string> = new Set(['hemisphere', 'internal-capsule', 'brainstem']);

/** A loss from the brain is told of a limb or half the body; of one patch of skin only now and then. */
const toldOfPatch = 0.35;

function skinLoss(
  lesion: Lesion,
  damage: Damage,
  site: SkinSite,
  side: Lateral,
  channel: Channel,
): number {
  const at = (patch: string): number => patchLoss(damage, patch, side, channel);
  if (isPatch(site)) return at(site) * (brainGroups.has(lesion.focus.group) ? toldOfPatch : 1);
  switch (site) {
    case 'face':
      return faceLoss(damage, side);
    case 'stocking':
      return Math.min(
        at('sole'),
        at('dorsum-of-foot'),
        Math.max(at('lateral-leg'), at('medial-leg'), 0.85 * at('sole')),
      );
    case 'glove':
      return Math.min(at('thumb'), at('middle-finger'), at('little-finger'));
    case 'whole-upper-limb':
      return limbLoss(armPatches.map(at));
    case 'whole-lower-limb':
      return limbLoss(legPatches.map(at));
    case 'hemibody':
      // Said of arm, trunk and leg, or of trunk and leg, of one side against the other.
      return (
        Math.max(
          Math.min(limbLoss(armPatches.map(at)), at('T6'), limbLoss(legPatches.map(at))),
          0.75 * Math.min(at('T6'), limbLoss(legPatches.map(at))),
        ) *
        (1 - 0.85 * patchLoss(damage, 'T6', mirror(side), channel))
      );
    case 'cape': {
      const shoulders = capePatches.map(at).sort((a, b) => a - b);
      return (shoulders[2] ?? 0) * (1 - 0.75 * limbLoss(legPatches.map(at)));
    }
    default:
      return levelLoss(
        damage,
        side,
        channel,
        segmentIndex(site.slice('level-'.length) as (typeof segments)[number]),
      );
  }
}

/**
 * A level is where the loss begins, so it fits a tract loss that begins there or a little above or
 * below: levels are found up to two segments off (facts 5.1, row 9), and now and then far below.
 */
function levelLoss(damage: Damage, side: Lateral, channel: Channel, at: number): number {
  let found = 0;
  for (const tract of damage.tracts) {
    if (tract.side !== side || tract[channel] < 0.05 || tract.to < 26) continue;
    const off = at - tract.from;
    const near = Math.exp(-0.5 * ((off < 0 ? off * 1.3 : Math.max(0, off - 1)) / 1.6) ** 2);
    const far = off > 0 && tract.from > 0 ? 0.12 : 0;
    found = either(
      found,
      tract[channel] * Math.max(near * (tract.from === 0 && at > 3 ? 0 : 1), far),
    );
  }
  // Roots lost from one level down (the cauda) give a level as well.
  if (at >= 20) {
    const below = patchLoss(damage, segments[at] ?? 'S1', side, channel);
    const above = patchLoss(damage, segments[at - 2] ?? 'L1', side, channel);
    const last = patchLoss(damage, 'S4', side, channel);
    found = either(found, 0.8 * Math.min(below, last) * (1 - above));
  }
  return found;
}

function incoordination(damage: Damage, site: string, side: Lateral): number {
  if (site === 'trunk') return either(0.02, damage.ataxia.trunk);
  const limb = site === 'upper-limb' ? 'arm' : 'leg';
  const movements: readonly Movement[] =
    limb === 'arm'
      ? ['elbow-flexion', 'finger-abduction', 'wrist-extension']
      : ['hip-flexion', 'knee-flexion', 'ankle-dorsiflexion'];
  const weak = movements.reduce((sum, m) => sum + weakness(damage, m, side) / movements.length, 0);
  const column = patchLoss(damage, limb === 'arm' ? 'middle-finger' : 'great-toe', side, 'column');
  return either(
    0.025,
    either(damage.ataxia[side], either(0.5 * Math.min(1, weak * 1.5), 0.5 * column)),
  );
}

function gaitsOf(lesion: Lesion, damage: Damage, side: Side): ReadonlySet<GaitBit> {
  const bits = new Set<GaitBit>();
  const sides = sidesFor(side);
  const any = (of: (s: Lateral) => boolean): boolean => sides.some(of);
  const legs = (s: Lateral): number => upperMotor(damage, 'hip-flexion', s);
  const stiff = (s: Lateral): boolean => legs(s) > 0.1 || spasticity(damage, 'leg', s) > 0.35;
  const weakLeg = (s: Lateral): number =>
    (weakness(damage, 'hip-flexion', s) + weakness(damage, 'knee-extension', s)) / 2;
  if (laterals.every((s) => weakLeg(s) > 0.8)) bits.add('unable');
  const brain = brainGroups.has(lesion.focus.group);
  if (brain && lesion.side !== 'both') {
    if (any(stiff)) bits.add('hemiparetic');
  } else if (any(stiff)) {
    bits.add('spastic');
    if (lesion.focus.group === 'cord' && lesion.focus.pattern === 'hemi') bits.add('hemiparetic');
  }
  if (any((s) => lowerMotor(damage, 'ankle-dorsiflexion', s) > 0.45)) bits.add('steppage');
  const column = laterals.every((s) => patchLoss(damage, 'great-toe', s, 'column') > 0.5);
  if (column || damage.ataxia.trunk > 0.25 || any((s) => damage.ataxia[s] > 0.4))
    bits.add('ataxic');
  if (
    laterals.every(
      (s) =>
        lowerMotor(damage, 'hip-abduction', s) > 0.25 &&
        lowerMotor(damage, 'ankle-dorsiflexion', s) < 0.3,
    )
  ) {
    bits.add('waddling');
  }
  return bits;
}

/** Qualities said of a reflex: slow relaxation, swinging, crossing over, spreading, inversion. */
export function qualityChance(lesion: Lesion, damage: Damage, site: string, side: Side): number {
  const { focus } = lesion;
  switch (site) {
    // Woltman's sign in about 75 % of the hypothyroid (CMAJ 2008); rarely otherwise.
    case 'delayed-relaxation':
      return focus.group === 'systemic' && focus.place === 'hypothyroid' ? 0.75 : 0.02;
    case 'pendular':
      return either(0.01, 0.35 * Math.max(damage.ataxia.left, damage.ataxia.right));
    case 'inverted': {
      // 17-28 % of the healthy (Kiely 2010): weak evidence; 51-61 % in myelopathy at its level.
      const free = most(side, (s) => {
        const { down } = arcChange(damage, 'brachioradialis', s, arcs.brachioradialis.reach, 'arm');
        const { up } = arcChange(damage, 'finger-flexor', s, arcs['finger-flexor'].reach, 'arm');
        return Math.min(1, down * 1.3) * up;
      });
      return either(0.12, 0.65 * free);
    }
    case 'crossed':
    case 'spread':
      return either(
        0.05,
        0.4 *
          most(side, (s) =>
            Math.max(
              arcChange(damage, 'patellar', s, arcs.patellar.reach, 'leg').up,
              arcChange(damage, 'biceps', s, arcs.biceps.reach, 'arm').up,
            ),
          ),
      );
    default:
      return 0.05;
  }
}

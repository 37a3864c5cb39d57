import { arcs, type LimbReflex, movementTable, superficialArcs } from '../anatomy/index.ts';
import {
  type ContextSite,
  type Lateral,
  laterals,
  type Movement,
  type ReflexSite,
  type Side,
  type SignSite,
  type SkinSite,
} from '../exam/index.ts';
import { circumstanceChance, onsetOf } from './circumstance.ts';
import type { Course } from './course.ts';
import type { Damage } from './damage.ts';
import {
  arcChange,
  channelOf,
  flaccidity,
  lowerMotor,
  patchLoss,
  spasticity,
  toeMute,
  toeUp,
  tractLost,
  upperMotor,
  weakness,
} from './effect.ts';
import { type GaitBit, gaitCode } from './gaitScale.ts';
import { chanceCode, either } from './grid.ts';
import type { Item } from './item.ts';
import type { Lesion } from './lesion.ts';
import { onsetCode } from './onsetScale.ts';
import { reflexCode } from './reflexScale.ts';
import { signChance } from './signs.ts';
import { senseCode } from './skinScale.ts';
import { brainGroups, skinLoss } from './skinState.ts';
import { strengthCode } from './strengthScale.ts';

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
    case 'sensation': {
      const channel = channelOf[item.modality ?? 'light-touch'];
      const lost = most(side, (s) => skinLoss(lesion, damage, item.site as SkinSite, s, channel));
      return item.site.startsWith('level-') ? chanceCode(either(0.004, lost)) : senseCode(lost);
    }
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

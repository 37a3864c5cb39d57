import {
  arcBundle,
  type Fibre,
  isLimbReflex,
  movementBundle,
  movementTable,
  type Place,
  patchOf,
  segmentIndex,
  skinBundle,
} from '../anatomy/index.ts';
import type { Lateral, Modality, Movement, Segment } from '../exam/index.ts';

import type { Damage } from './damage.ts';

const placeShares = new WeakMap<readonly Fibre[], Map<Place, number>>();

/** The share of a bundle that runs through a place; the whole table of a bundle is made at once. */
function shareAt(bundle: readonly Fibre[], place: Place): number {
  let table = placeShares.get(bundle);
  if (table === undefined) {
    table = new Map();
    for (const { path, share } of bundle) {
      for (const at of path) table.set(at, (table.get(at) ?? 0) + share);
    }
    placeShares.set(bundle, table);
  }
  return table.get(place) ?? 0;
}

const shareBetweenTables = new WeakMap<readonly Fibre[], Float64Array>();

/** The share of a bundle whose segment lies from one index to another, both counted in. */
export function shareBetween(bundle: readonly Fibre[], from: number, to: number): number {
  let sums = shareBetweenTables.get(bundle);
  if (sums === undefined) {
    sums = new Float64Array(32);
    for (const { path, share } of bundle) {
      const segment = path[0]?.slice('segment:'.length) as Segment;
      const at = segmentIndex(segment) + 1;
      sums[at] = (sums[at] ?? 0) + share;
    }
    for (let i = 1; i < 32; i++) sums[i] = (sums[i] ?? 0) + (sums[i - 1] ?? 0);
    shareBetweenTables.set(bundle, sums);
  }
  const clamp = (i: number) => Math.max(0, Math.min(31, i));
  const share = (sums[clamp(to + 1)] ?? 0) - (sums[clamp(from)] ?? 0);
  return share < 1e-9 ? 0 : share;
}

const both = (a: number, b: number): number => 1 - (1 - a) * (1 - b);
const lastSegment = 29;

/** How much of a bundle is cut, summed over the cuts of one kind of fibre. */
function cutShare(
  damage: Damage,
  bundle: readonly Fibre[],
  side: Lateral,
  part: 'motor' | 'skin' | 'large' | 'arc',
): number {
  let lost = 0;
  for (const cut of damage.cuts) {
    if (cut.side === side && cut[part] > 0) lost += cut[part] * shareAt(bundle, cut.place);
  }
  return Math.min(1, lost);
}

/** Lower motor loss of a movement, 0 to 1, from cuts alone. */
export const motorCut = (damage: Damage, movement: Movement, side: Lateral): number =>
  cutShare(damage, movementBundle(movement), side, 'motor');

/** Lower motor loss, with the diffuse processes. */
export function lowerMotor(damage: Damage, movement: Movement, side: Lateral): number {
  const diffuse = damage.diffuse.motor?.(movementTable[movement], side, movement) ?? 0;
  return both(motorCut(damage, movement, side), Math.min(1, diffuse));
}

/** Upper motor weakness of a movement. */
export function upperMotor(damage: Damage, movement: Movement, side: Lateral): number {
  const row = movementTable[movement];
  const bundle = movementBundle(movement);
  let weak = 0;
  for (const tract of damage.pyramidal) {
    if (tract.side !== side) continue;
    const limb = row.limb === 'leg' ? tract.leg : tract.arm;
    const below = tract.below < 0 ? 1 : shareBetween(bundle, tract.below + 1, lastSegment);
    // The pattern belongs to partial lesions; a complete one weakens all alike. The neck has both sides.
    const full = row.limb === 'neck' ? 0 : Math.min(1, limb) ** 4;
    const shown = row.pyramidal + (1 - row.pyramidal) * full;
    weak = both(weak, Math.min(1, limb) * shown * below);
  }
  return weak;
}

export const weakness = (damage: Damage, movement: Movement, side: Lateral): number =>
  both(lowerMotor(damage, movement, side), upperMotor(damage, movement, side));

/** A reflex arc: how far it is interrupted, and how far it is released, each 0 to 1. */
export function arcChange(
  damage: Damage,
  site: string,
  side: Lateral,
  reach: number,
  limb: 'arm' | 'leg' | 'trunk',
): { readonly down: number; readonly up: number } {
  const bundle = arcBundle(site);
  let down = cutShare(damage, bundle, side, 'arc');
  let up = 0;
  for (const tract of damage.pyramidal) {
    if (tract.side !== side) continue;
    const below = tract.below < 0 ? 1 : shareBetween(bundle, tract.below + 1, lastSegment);
    const reached = limb === 'leg' ? tract.leg : tract.arm;
    // A face-and-arm lesion makes the leg less brisk, and the other way round.
    const weight = reached < 0.02 ? 0.6 : 1;
    up = both(up, tract.brisk * below * weight);
    down = both(down, tract.shock * below * weight);
  }
  down = both(down, Math.min(1, damage.diffuse.arcDown?.(reach, limb, side) ?? 0));
  up = both(up, Math.min(1, damage.diffuse.arcUp?.(limb, side) ?? 0));
  return { down, up: isLimbReflex(site) ? up : 0 };
}

/** Descending control of the skin reflexes and the toe below a level on one side, 0 (kept) to 1. */
export function tractLost(damage: Damage, site: string, side: Lateral): number {
  const bundle = arcBundle(site);
  let lost = 0;
  for (const tract of damage.pyramidal) {
    if (tract.side !== side) continue;
    const below = tract.below < 0 ? 1 : shareBetween(bundle, tract.below + 1, lastSegment);
    lost = both(lost, below * Math.max(tract.brisk, tract.shock, tract.leg));
  }
  return lost;
}

export function toeUp(damage: Damage, side: Lateral): number {
  const bundle = arcBundle('plantar');
  let up = damage.diffuse.toe?.(side) ?? 0;
  for (const tract of damage.pyramidal) {
    if (tract.side !== side) continue;
    const below = tract.below < 0 ? 1 : shareBetween(bundle, tract.below + 1, lastSegment);
    up = both(up, tract.toe * below);
  }
  return up;
}

/**
 * How much of the toe's answer is gone: the arc is cut, or the muscles that would answer are. A toe
 * that cannot move is mute, not extensor.
 */
export function toeMute(damage: Damage, side: Lateral): number {
  let shock = 0;
  for (const tract of damage.pyramidal) {
    if (tract.side === side) shock = Math.max(shock, tract.shock * 0.6);
  }
  const arc = cutShare(damage, arcBundle('plantar'), side, 'arc');
  const motor = lowerMotor(damage, 'toe-flexion', side);
  return both(shock, Math.max(arc * 0.8, motor * 0.7));
}

export function spasticity(damage: Damage, limb: 'arm' | 'leg', side: Lateral): number {
  // The limb's middle stands for it: C7 in the arm, L4 in the leg.
  const middle = limb === 'arm' ? 6 : 23;
  let spastic = damage.diffuse.spastic?.(limb, side) ?? 0;
  for (const tract of damage.pyramidal) {
    if (tract.side !== side) continue;
    const here = limb === 'arm' ? tract.arm : tract.leg;
    if (tract.below < middle) spastic = both(spastic, tract.spastic * (here < 0.02 ? 0.6 : 1));
  }
  return spastic;
}

export function flaccidity(damage: Damage, limb: 'arm' | 'leg', side: Lateral): number {
  const middle = limb === 'arm' ? 6 : 23;
  let flaccid = 0;
  for (const tract of damage.pyramidal) {
    if (tract.side === side && tract.below < middle) flaccid = both(flaccid, tract.shock);
  }
  const movement: Movement[] =
    limb === 'arm'
      ? ['shoulder-abduction', 'elbow-flexion', 'elbow-extension', 'wrist-extension']
      : ['hip-flexion', 'knee-extension', 'ankle-dorsiflexion', 'ankle-plantarflexion'];
  let weak = 0;
  for (const m of movement) weak += lowerMotor(damage, m, side) / movement.length;
  return both(both(flaccid, weak * 0.6), damage.ataxia[side] * 0.35);
}

/** Which fibres carry a modality: small and dorsal column, with touch in both. */
export type Channel = 'pin' | 'touch' | 'column';
export const channelOf: Readonly<Record<Modality, Channel>> = {
  pinprick: 'pin',
  temperature: 'pin',
  'light-touch': 'touch',
  vibration: 'column',
  'joint-position': 'column',
};

/**
 * Loss over a patch of skin. A lesion of part of a patch is still found when the patch is tried at
 * several points, so a share counts for more than its size.
 */
export function patchLoss(damage: Damage, site: string, side: Lateral, channel: Channel): number {
  const bundle = skinBundle(site);
  const cut = cutShare(damage, bundle, side, channel === 'column' ? 'large' : 'skin');
  let lost = cut > 0 ? 1 - (1 - cut) ** 1.6 : 0;
  for (const tract of damage.tracts) {
    if (tract.side !== side || tract[channel] === 0) continue;
    lost = both(lost, tract[channel] * shareBetween(bundle, tract.from, tract.to));
  }
  const diffuse =
    damage.diffuse.skin?.(patchOf(site as Segment as never), channel === 'column') ?? 0;
  return both(lost, Math.min(1, diffuse));
}

export function faceLoss(damage: Damage, side: Lateral): number {
  let lost = 0;
  for (const tract of damage.tracts) if (tract.side === side) lost = both(lost, tract.face ?? 0);
  return lost;
}

import { isPatch, segmentIndex } from '../anatomy/index.ts';
import { type Lateral, mirror, type SkinSite, segments } from '../exam/index.ts';
import type { Damage } from './damage.ts';
import { type Channel, faceLoss, patchLoss } from './effect.ts';
import { either } from './grid.ts';
import type { Lesion } from './lesion.ts';

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

/** Sites above the cord. */
export const brainGroups: ReadonlySet<string> = new Set([
  'hemisphere',
  'internal-capsule',
  'brainstem',
]);

/** A loss from the brain is told of a limb or half the body; of one patch of skin only now and then. */
const toldOfPatch = 0.35;

/** Loss of sensation over anything sensation is tried at, 0 to 1. */
export function skinLoss(
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
 * below: levels are found up to two segments off (EJIM case 2017), and now and then far below.
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

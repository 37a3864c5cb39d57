import { segmentIndex } from '../anatomy/index.ts';
import type { Lesion } from './lesion.ts';

/** Two lesions in one patient, by their places in the list of lesions. */
export interface Pair {
  readonly first: number;
  readonly second: number;
  /** Prior of the pair against other pairs. */
  readonly weight: number;
}

/** All pairs together are this share of the patients (from memory). */
export const pairShare = 0.06;

const commonNerves = new Set(['nerve:median-wrist', 'nerve:ulnar-elbow', 'nerve:common-fibular']);
const lumbarRoots = new Set(['root:L4', 'root:L5', 'root:S1']);
const brain = new Set(['hemisphere', 'internal-capsule']);
const rare = (lesion: Lesion): boolean => {
  if (lesion.focus.group !== 'root') return false;
  const at = segmentIndex(lesion.focus.level);
  return at > segmentIndex('T1') && at < segmentIndex('L2');
};

/**
 * How often two lesions go together against chance: 0 means the pair is not considered. The families
 * are the ones the trade knows: two roots, root or nerve on a polyneuropathy, cord with a root at its
 * level or a lumbar one (tandem stenosis), cord with polyneuropathy, a nerve beyond a root (double
 * crush), several nerves, and a stroke beside any of the common ones. From memory.
 */
function affinity(a: Lesion, b: Lesion): number {
  const [x, y] = [a.focus.group, b.focus.group];
  const oneSided = (l: Lesion): boolean => l.side === 'left' || l.side === 'right';
  if (rare(a) || rare(b)) return 0;
  if (x === 'root' && y === 'root') {
    if (!oneSided(a) || !oneSided(b) || a.site === b.site) return 0;
    const apart = Math.abs(segmentIndex(level(a)) - segmentIndex(level(b)));
    return a.side === b.side && apart === 1 ? 6 : apart < 4 ? 1 : 0.6;
  }
  if (x === 'root' && y === 'polyneuropathy') return 1.5;
  if (x === 'root' && y === 'nerve') return oneSided(a) && a.side === b.side ? 1 : 0;
  if (x === 'nerve' && y === 'polyneuropathy')
    return b.site === 'polyneuropathy:length-dependent' ? 2 : 0;
  if (x === 'nerve' && y === 'nerve') {
    return oneSided(a) && oneSided(b) && a.site !== b.site ? 1 : 0;
  }
  if (x === 'cord' && y === 'root') {
    if (!oneSided(b)) return 0;
    const at = segmentIndex(level(a));
    const root = segmentIndex(level(b));
    if (root === at || root === at + 1) return 5;
    return at <= 8 && lumbarRoots.has(b.site) ? 1.5 : 0;
  }
  if (x === 'cord' && y === 'polyneuropathy')
    return b.site === 'polyneuropathy:length-dependent' ? 1.5 : 0.04;
  if (x === 'cord' && y === 'nerve') {
    return commonNerves.has(b.site) && a.side === 'both' && segmentIndex(level(a)) <= 8 ? 0.7 : 0;
  }
  if (brain.has(x) && (y === 'root' || y === 'nerve')) {
    if (!oneSided(a) || !oneSided(b)) return 0;
    return y === 'root' || commonNerves.has(b.site) || b.site === 'nerve:radial-spiral-groove'
      ? 0.6
      : 0;
  }
  if (brain.has(x) && y === 'polyneuropathy') {
    return oneSided(a) && b.site === 'polyneuropathy:length-dependent' ? 1 : 0;
  }
  return 0;
}

const level = (lesion: Lesion): Parameters<typeof segmentIndex>[0] =>
  'level' in lesion.focus ? lesion.focus.level : 'C1';

/** Every pair considered, with the product of its priors weighed by how often the two go together. */
export function pairsOf(lesions: readonly Lesion[], prior: readonly number[]): readonly Pair[] {
  const pairs: Pair[] = [];
  lesions.forEach((a, first) => {
    lesions.forEach((b, second) => {
      if (first === second) return;
      const same = a.focus.group === b.focus.group;
      if (same && first > second) return;
      const together = affinity(a, b);
      if (together > 0) {
        pairs.push({
          first,
          second,
          weight: together * (prior[first] ?? 0) * (prior[second] ?? 0),
        });
      }
    });
  });
  const sum = pairs.reduce((total, pair) => total + pair.weight, 0);
  return pairs.map((pair) => ({ ...pair, weight: pair.weight / sum }));
}

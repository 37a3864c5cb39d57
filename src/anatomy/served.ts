import {
  type Dermatome,
  dermatomes,
  type Movement,
  movements,
  type Segment,
  type SkinSite,
} from '../exam/index.ts';
import { arcs, type LimbReflex, plantarArc, superficialArcs } from './arc.ts';
import { type Fibre, fibres, mix } from './graph.ts';
import { movementTable, muscles } from './muscle.ts';
import type { Shares } from './share.ts';
import { type BodyRegion, dermatomePatches, type Patch, regions } from './skin.ts';

/** The bundles of the graph by what they serve, built once. */
const movementBundles = new Map<Movement, readonly Fibre[]>(
  movements.map((movement) => [
    movement,
    mix(
      movementTable[movement].muscles.map(([id, share]) => [
        fibres(muscles[id].roots, [[muscles[id].nerve, 1]]),
        share,
      ]),
    ),
  ]),
);
const arcBundles = new Map(
  Object.entries({ ...arcs, ...superficialArcs, plantar: plantarArc }).map(([site, arc]) => [
    site,
    fibres(arc.roots, arc.nerves),
  ]),
);
const skinBundles = new Map<string, readonly Fibre[]>([
  ...Object.entries(regions).map(
    ([site, patch]) => [site, fibres(patch.roots, patch.nerves)] as const,
  ),
  ...dermatomes.map((d) => {
    const patch = patchOf(d);
    return [d, fibres(patch.roots, patch.nerves)] as const;
  }),
]);

export const movementBundle = (movement: Movement): readonly Fibre[] =>
  movementBundles.get(movement) ?? [];
/** A muscle stretch reflex, a superficial reflex, or `plantar`. */
export const arcBundle = (site: string): readonly Fibre[] => arcBundles.get(site) ?? [];
/** A region or a dermatome. */
export const skinBundle = (site: string): readonly Fibre[] => skinBundles.get(site) ?? [];

export function patchOf(site: BodyRegion | Dermatome): Patch {
  const patch = dermatomePatches.get(site as Dermatome) ?? regions[site as BodyRegion];
  return patch;
}
export const isPatch = (site: SkinSite): site is BodyRegion | Dermatome =>
  site in regions || dermatomePatches.has(site as Dermatome);
export const isLimbReflex = (site: string): site is LimbReflex => site in arcs;

/** How a bundle is divided among the segments, largest first. */
export function segmentsOf(bundle: readonly Fibre[]): Shares<Segment> {
  const shares = new Map<Segment, number>();
  for (const { share, path } of bundle) {
    const segment = path[0]?.slice('segment:'.length) as Segment;
    shares.set(segment, (shares.get(segment) ?? 0) + share);
  }
  return [...shares].sort((a, b) => b[1] - a[1]);
}

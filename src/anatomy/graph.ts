import type { Segment } from '../exam/index.ts';
import { type NerveId, nerveChain, nerves } from './nerve.ts';
import type { Shares } from './share.ts';

/** A place on the way from the cord to the periphery that can be cut. One side of the body. */
export type Place =
  | `segment:${Segment}`
  | `root:${Segment}`
  | `plexus:${PlexusPart}`
  | `nerve:${NerveId}`;

export type PlexusPart =
  | 'brachial-upper-trunk'
  | 'brachial-middle-trunk'
  | 'brachial-lower-trunk'
  | 'brachial-lateral-cord'
  | 'brachial-posterior-cord'
  | 'brachial-medial-cord'
  | 'lumbar'
  | 'sacral';

/** A bundle that runs one way through the graph, and its share of what it ends in. */
export interface Fibre {
  readonly share: number;
  readonly path: readonly Place[];
}

const trunkOf = (segment: Segment): PlexusPart | undefined => {
  switch (segment) {
    case 'C5':
    case 'C6':
    case 'C4':
      return 'brachial-upper-trunk';
    case 'C7':
      return 'brachial-middle-trunk';
    case 'C8':
    case 'T1':
      return 'brachial-lower-trunk';
    default:
      return undefined;
  }
};

/** The way of one root's fibres through the plexus into a nerve. */
function plexusWay(segment: Segment, nerve: NerveId): readonly PlexusPart[] {
  const { from } = nerves[nerve];
  if (from === 'direct') return [];
  if (from === 'lumbar' || from === 'sacral') return [from];
  const trunk = trunkOf(segment);
  if (trunk === undefined) return [];
  if (from === 'upper-trunk') return [trunk];
  const lower = trunk === 'brachial-lower-trunk';
  const cord = from === 'median' ? (lower ? 'medial' : 'lateral') : from;
  return [trunk, `brachial-${cord}-cord`];
}

/** All the ways by which something is served, from cord segment to the last place on its nerve. */
export function fibres(roots: Shares<Segment>, nervesOf: Shares<NerveId>): readonly Fibre[] {
  return roots.flatMap(([segment, rootShare]) =>
    nervesOf.map(([nerve, nerveShare]) => ({
      share: rootShare * nerveShare,
      path: [
        `segment:${segment}` as const,
        `root:${segment}` as const,
        ...plexusWay(segment, nerve).map((part) => `plexus:${part}` as const),
        ...nerveChain(nerve).map((place) => `nerve:${place}` as const),
      ],
    })),
  );
}

/** What is lost of something, 0 to 1, when a place on the graph is cut through. */
export function shareThrough(bundle: readonly Fibre[], place: Place): number {
  let share = 0;
  for (const fibre of bundle) if (fibre.path.includes(place)) share += fibre.share;
  return Math.min(1, share);
}

/** Several muscles that do one movement, as one bundle. */
export function mix(
  parts: readonly (readonly [bundle: readonly Fibre[], share: number])[],
): readonly Fibre[] {
  return parts.flatMap(([bundle, share]) =>
    bundle.map((fibre) => ({ share: fibre.share * share, path: fibre.path })),
  );
}

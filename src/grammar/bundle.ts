import type { Arc, WordNetwork } from './network.ts';

/**
 * The same language with fewer arcs: where the same words lead on from several states to the same
 * places, these states take one wordless step to a state in common, and the words go on from there.
 *
 *      a ──word──▶ x          a ─┐       ┌─word──▶ x
 *      a ──other─▶ y    to       ├─▶ · ──┤
 *      b ──word──▶ x          b ─┘       └─other─▶ y
 *      b ──other─▶ y
 *
 * An engine's graph holds each such word once then, not once for every state it may follow.
 */
export function bundled(network: WordNetwork): WordNetwork {
  const arcs = network.arcs.filter(({ word }) => word === '');
  const alike = grouped(
    network.arcs.filter(({ word }) => word !== ''),
    ({ to, word }) => `${to} ${word}`,
  );
  const states = (same: readonly Arc[]): readonly number[] =>
    same.map(({ from }) => from).sort((a, b) => a - b);
  const bundles = grouped(alike, (same) => states(same).join());
  let count = network.states;
  for (const bundle of bundles) {
    let from = states(bundle[0] ?? []);
    if (from.length * bundle.length > from.length + bundle.length) {
      const common = count++;
      for (const state of from) arcs.push({ from: state, to: common, word: '' });
      from = [common];
    }
    for (const state of from) {
      for (const [arc] of bundle) if (arc !== undefined) arcs.push({ ...arc, from: state });
    }
  }
  return { ...network, states: count, arcs };
}

function grouped<T>(all: readonly T[], key: (one: T) => string): readonly (readonly T[])[] {
  const groups = new Map<string, T[]>();
  for (const one of all) {
    const name = key(one);
    const known = groups.get(name);
    if (known === undefined) groups.set(name, [one]);
    else known.push(one);
  }
  return [...groups.values()];
}

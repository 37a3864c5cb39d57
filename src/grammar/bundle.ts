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
 * A sound is then held against each such word once, not once for every state it may follow. What an
 * engine spends is counted in words; steps without one cost little.
 */
export function bundled(network: WordNetwork): WordNetwork {
  const sources = new Map<string, Set<number>>();
  const rest: Arc[] = [];
  for (const arc of network.arcs) {
    if (arc.word === '') {
      rest.push(arc);
      continue;
    }
    const column = `${arc.to} ${arc.word}`;
    const known = sources.get(column);
    if (known === undefined) sources.set(column, new Set([arc.from]));
    else known.add(arc.from);
  }
  const bundles = new Map<string, { readonly from: readonly number[]; readonly arcs: Arc[] }>();
  for (const [column, states] of sources) {
    const space = column.indexOf(' ');
    const from = [...states].sort((a, b) => a - b);
    const key = from.join();
    const bundle = bundles.get(key) ?? { from, arcs: [] };
    bundle.arcs.push({
      from: -1,
      to: Number(column.slice(0, space)),
      word: column.slice(space + 1),
    });
    bundles.set(key, bundle);
  }
  const arcs: Arc[] = rest;
  let states = network.states;
  for (const { from, arcs: bundle } of bundles.values()) {
    if (from.length * bundle.length <= from.length + bundle.length) {
      for (const state of from) for (const arc of bundle) arcs.push({ ...arc, from: state });
    } else {
      const common = states++;
      for (const state of from) arcs.push({ from: state, to: common, word: '' });
      for (const arc of bundle) arcs.push({ ...arc, from: common });
    }
  }
  return { ...network, states, arcs };
}

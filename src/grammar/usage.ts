import type { Grammar } from './ast.ts';
import { sample } from './expand.ts';
import type { Arc, WordNetwork } from './network.ts';

/**
 * The same network with a weight on each arc: how often sentences as they are said take it. Arcs
 * that none of them takes are rare, not impossible.
 *
 * @param sentences each is counted once; what the network does not take is passed over
 * @param unseen what an arc counts before anything was said
 */
export function weigh(
  network: WordNetwork,
  sentences: Iterable<readonly string[]>,
  unseen = 0.5,
): WordNetwork {
  const leaving: number[][] = Array.from({ length: network.states }, () => []);
  for (const [i, arc] of network.arcs.entries()) leaving[arc.from]?.push(i);
  const finals = new Set(network.finals);
  const taken = new Float64Array(network.arcs.length);
  const ended = new Float64Array(network.states);
  for (const words of sentences) {
    const path = walk(network.arcs, leaving, finals, network.start, words);
    const last = path?.at(-1);
    if (path === undefined || last === undefined) continue;
    for (const arc of path) taken[arc] = (taken[arc] ?? 0) + 1;
    const end = network.arcs[last]?.to ?? 0;
    ended[end] = (ended[end] ?? 0) + 1;
  }
  const totals = leaving.map((arcs, state) => {
    const ways = arcs.length + (finals.has(state) ? 1 : 0);
    return arcs.reduce((sum, arc) => sum + (taken[arc] ?? 0), (ended[state] ?? 0) + unseen * ways);
  });
  const arcs = network.arcs.map((arc, i) => ({
    ...arc,
    weight: Math.log(((taken[i] ?? 0) + unseen) / (totals[arc.from] ?? 1)),
  }));
  return { ...network, arcs };
}

/** The arcs of one way through the network that says these words, or undefined. */
function walk(
  arcs: readonly Arc[],
  leaving: readonly (readonly number[])[],
  finals: ReadonlySet<number>,
  start: number,
  words: readonly string[],
): readonly number[] | undefined {
  const path: number[] = [];
  const dead = new Set<string>();
  const go = (state: number, at: number): boolean => {
    if (at === words.length && finals.has(state)) return true;
    const key = `${state} ${at}`;
    if (dead.has(key)) return false;
    // Marked before it is tried, so that a ring of wordless arcs ends.
    dead.add(key);
    for (const i of leaving[state] ?? []) {
      const arc = arcs[i];
      if (arc === undefined || (arc.word !== '' && arc.word !== words[at])) continue;
      path.push(i);
      if (go(arc.to, arc.word === '' ? at : at + 1)) return true;
      path.pop();
    }
    return false;
  };
  return go(start, 0) ? path : undefined;
}

/** Sentences of a rule drawn at random as its weights say; the same seed draws the same. */
export function* draws(
  grammar: Grammar,
  rule: string,
  count: number,
  seed = 1,
): Generator<readonly string[]> {
  let state = seed >>> 0;
  const pick = (below: number): number => {
    // Numerical Recipes' linear congruence; its high bits are the random ones.
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 0x1_0000_0000) * below);
  };
  for (let i = 0; i < count; i++) yield sample(grammar, rule, pick).words;
}

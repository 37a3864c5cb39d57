import type { WordNetwork } from '../../src/grammar/index.ts';

/** Whether a network takes a sentence, by walking every way at once. */
export function takes(network: WordNetwork | undefined, words: readonly string[]): boolean {
  if (network === undefined) return false;
  const free = (states: ReadonlySet<number>): ReadonlySet<number> => {
    const all = new Set(states);
    for (const state of all) {
      for (const arc of network.arcs) if (arc.word === '' && arc.from === state) all.add(arc.to);
    }
    return all;
  };
  let now = free(new Set([network.start]));
  for (const word of words) {
    const next = network.arcs.filter((arc) => arc.word === word && now.has(arc.from));
    now = free(new Set(next.map((arc) => arc.to)));
  }
  return network.finals.some((final) => now.has(final));
}

/**
 * Everything that may be said, as a network of words: a path from `start` to one of `finals` is a
 * sentence. What `compile` gives is deterministic but for its wordless steps, and minimal, so that
 * no sound is spent on the same hypothesis twice.
 */
export interface WordNetwork {
  /** Number of states, numbered from 0. */
  readonly states: number;
  readonly start: number;
  readonly finals: readonly number[];
  readonly arcs: readonly Arc[];
}

export interface Arc {
  readonly from: number;
  readonly to: number;
  /** The word on this arc, or `''` for a step that takes no word (how a loop goes back). */
  readonly word: string;
  /** How often it is taken from its state, as a natural logarithm; absent where nobody knows. */
  readonly weight?: number;
}

/** The words of a network, each once, in order of first appearance. */
export const wordsOf = (network: WordNetwork): readonly string[] => [
  ...new Set(network.arcs.map((arc) => arc.word).filter((word) => word !== '')),
];

/** A network that says these words and nothing else, so often. */
export const chain = (words: readonly string[], weight = 0): WordNetwork => ({
  states: words.length + 1,
  start: 0,
  finals: [words.length],
  arcs: words.map((word, i) => ({
    ...{ from: i, to: i + 1, word },
    ...(i === 0 && weight !== 0 ? { weight } : {}),
  })),
});

/**
 * How often a network says just these words, as a natural logarithm: the best of the ways through it; minus infinity where it
 * does not. Loops of wordless steps must not gain by going round.
 */
export function weightOf(network: WordNetwork, words: readonly string[]): number {
  const out: Arc[][] = Array.from({ length: network.states }, () => []);
  for (const arc of network.arcs) out[arc.from]?.push(arc);
  const without = (best: Map<number, number>): Map<number, number> => {
    const open = [...best.keys()];
    for (let from = open.pop(); from !== undefined; from = open.pop()) {
      for (const { to, word, weight = 0 } of out[from] ?? []) {
        const sum = (best.get(from) ?? never) + weight;
        if (word !== '' || sum <= (best.get(to) ?? never)) continue;
        best.set(to, sum);
        open.push(to);
      }
    }
    return best;
  };
  let best = without(new Map([[network.start, 0]]));
  for (const said of words) {
    const next = new Map<number, number>();
    for (const [from, sum] of best) {
      for (const { to, word, weight = 0 } of out[from] ?? []) {
        if (word === said) next.set(to, Math.max(sum + weight, next.get(to) ?? never));
      }
    }
    best = without(next);
  }
  return Math.max(...network.finals.map((final) => best.get(final) ?? never));
}

const never = Number.NEGATIVE_INFINITY;

/** Networks one after the other: a sentence of the first, then one of the second. */
export function series(first: WordNetwork, second: WordNetwork): WordNetwork {
  const base = first.states;
  const on = (state: number): number => base + state;
  return {
    states: base + second.states,
    start: first.start,
    finals: second.finals.map(on),
    arcs: [
      ...first.arcs,
      ...first.finals.map((from) => ({ from, to: on(second.start), word: '' })),
      ...second.arcs.map((arc) => ({ ...arc, from: on(arc.from), to: on(arc.to) })),
    ],
  };
}

/** Networks as one: what any of them takes, each entered by a wordless arc of its weight. */
export function union(
  parts: readonly { readonly network: WordNetwork; readonly weight: number }[],
): WordNetwork {
  const arcs: Arc[] = [];
  const finals: number[] = [];
  let states = 1;
  for (const { network, weight } of parts) {
    const base = states;
    arcs.push({ from: 0, to: base + network.start, word: '', weight });
    for (const arc of network.arcs) arcs.push({ ...arc, from: base + arc.from, to: base + arc.to });
    for (const final of network.finals) finals.push(base + final);
    states += network.states;
  }
  return { states, start: 0, finals, arcs };
}

import type { WordNetwork } from '../../grammar/network.ts';

/** An arc of the search graph; words are as the engine's dictionary spells them. */
export interface GraphArc {
  readonly from: number;
  readonly to: number;
  /** `undefined` for a step without a word. */
  readonly word: string | undefined;
  /** Natural log. */
  readonly weight: number;
}

/** What the engine searches: some networks side by side, and any speech beside them. */
export interface SearchGraph {
  readonly states: number;
  readonly start: number;
  /** The end of each network, in order. */
  readonly finals: readonly number[];
  /** The end of the loop of phones. */
  readonly anySpeech: number;
  readonly arcs: readonly GraphArc[];
}

export interface GraphOptions {
  /** How the dictionary spells each pronunciation of a word, `biceps` and `biceps(2)`. */
  readonly spellings: (word: string) => readonly string[];
  readonly silence: string;
  /** Natural log of the price of a silence between words. */
  readonly silenceWeight: number;
  readonly phones: readonly string[];
  /** Natural log, for each phone of the loop; above zero it undoes the engine's price of a word. */
  readonly phoneWeight: number;
}

/** From each state, all that can be reached without a word. */
function closure(network: WordNetwork): ReadonlyMap<number, ReadonlySet<number>> {
  const steps = new Map<number, number[]>();
  for (const { from, to, word } of network.arcs) {
    if (word === '' && from !== to) steps.set(from, [...(steps.get(from) ?? []), to]);
  }
  const reached = new Map<number, ReadonlySet<number>>();
  for (const state of steps.keys()) {
    const seen = new Set<number>();
    const open = [state];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const to of steps.get(at) ?? []) {
        if (to !== state && !seen.has(to)) {
          seen.add(to);
          open.push(to);
        }
      }
    }
    reached.set(state, seen);
  }
  return reached;
}

/**
 * Lays the networks out side by side, from one start, each to an end of its own, with a loop of
 * phones beside them:
 *
 *            ┌─▶ network 0 ─▶ finals[0]
 *     start ─┼─▶ network 1 ─▶ finals[1]
 *            └─▶ ↺ any phone (anySpeech)
 *
 * One search over all of it scores each end on the same sound, with the speech sounds evaluated
 * once, and scores read off it compare. The engine takes only one wordless step at a time, so their
 * transitive closure is written out. Silence may stand at every state but the common start.
 */
export function layOut(networks: readonly WordNetwork[], options: GraphOptions): SearchGraph {
  const { spellings, silence, silenceWeight, phones, phoneWeight } = options;
  const start = 0;
  const anySpeech = 1;
  const arcs: GraphArc[] = [
    { from: start, to: anySpeech, word: undefined, weight: 0 },
    { from: anySpeech, to: anySpeech, word: silence, weight: silenceWeight },
    ...phones.map((word) => ({ from: anySpeech, to: anySpeech, word, weight: phoneWeight })),
  ];
  const finals: number[] = [];
  let next = 2;
  for (const network of networks) {
    const base = next;
    const final = base + network.states;
    next = final + 1;
    finals.push(final);
    const ends = new Set(network.finals);
    const reached = closure(network);
    const nulls = new Set<number>();
    const step = (from: number, to: number): void => {
      const key = from * next + to;
      if (from !== to && !nulls.has(key)) {
        nulls.add(key);
        arcs.push({ from, to, word: undefined, weight: 0 });
      }
    };
    for (let state = 0; state < network.states; state++) {
      const onward = [state, ...(reached.get(state) ?? [])];
      for (const to of onward) {
        step(base + state, base + to);
        if (ends.has(to)) step(base + state, final);
        if (state === network.start) step(start, base + to);
      }
      if (state === network.start && onward.some((to) => ends.has(to))) step(start, final);
      arcs.push({ from: base + state, to: base + state, word: silence, weight: silenceWeight });
    }
    for (const { from, to, word } of network.arcs) {
      if (word === '') continue;
      for (const spelling of spellings(word)) {
        arcs.push({ from: base + from, to: base + to, word: spelling, weight: 0 });
      }
    }
  }
  return { states: next, start, finals, anySpeech, arcs };
}

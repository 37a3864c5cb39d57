import type { WordNetwork } from '../../grammar/network.ts';
import type { Lexicon } from './lexicon.ts';

/**
 * A network of words spelt out in phones. From each state of the network a tree of phones that its
 * words share grows; where a word's last phone is, the state it leads to is noted.
 *
 *     state 0 ── L ── EH ── F ── T  "left" ─▶ state 1
 *             └─ R ── AY ── T       "right" ─▶ state 1
 */
export interface Graph {
  readonly states: number;
  readonly start: number;
  /** States where a sentence may end. */
  readonly finals: Uint8Array;
  /** Where each state can be gone to without a word, itself among them, and at what price. */
  readonly reach: readonly (readonly Step[])[];
  /** First nodes of each state's tree. */
  readonly roots: readonly (readonly number[])[];
  /** Label of each node. */
  readonly label: Uint8Array;
  /** Nodes after each node. */
  readonly next: readonly (readonly number[])[];
  readonly ends: readonly (readonly End[] | undefined)[];
}

export interface End {
  readonly word: string;
  readonly to: number;
  /** Natural logarithm of how often the word is taken; 0 where nobody knows. */
  readonly weight: number;
}

export interface Step {
  readonly to: number;
  readonly weight: number;
}

export function graphOf(network: WordNetwork, lexicon: Lexicon): Graph {
  const steps = Array.from({ length: network.states }, (): Step[] => []);
  const arcs = Array.from({ length: network.states }, (): End[] => []);
  for (const { from, to, word, weight = 0 } of network.arcs) {
    if (word === '') steps[from]?.push({ to, weight });
    else arcs[from]?.push({ word, to, weight });
  }
  const label: number[] = [];
  const next: number[][] = [];
  const ends: (End[] | undefined)[] = [];
  const roots = arcs.map((words) => {
    const first: number[] = [];
    const grow = (among: number[], phone: number): number => {
      const known = among.find((node) => label[node] === phone);
      if (known !== undefined) return known;
      label.push(phone);
      next.push([]);
      ends.push(undefined);
      among.push(label.length - 1);
      return label.length - 1;
    };
    for (const end of words) {
      for (const row of lexicon.get(end.word) ?? []) {
        let among = first;
        let node = -1;
        for (const phone of row) {
          node = grow(among, phone);
          among = next[node] ?? [];
        }
        if (node < 0) continue;
        const here = ends[node];
        if (here === undefined) ends[node] = [end];
        else here.push(end);
      }
    }
    return first;
  });
  const finals = new Uint8Array(network.states);
  for (const state of network.finals) finals[state] = 1;
  const reach = steps.map((_, from) => {
    const best = new Map([[from, 0]]);
    const open = [from];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const { to, weight } of steps[at] ?? []) {
        const sum = (best.get(at) ?? 0) + weight;
        // Weights are no more than nothing, so a ring never gains.
        if (sum <= (best.get(to) ?? Number.NEGATIVE_INFINITY)) continue;
        best.set(to, sum);
        open.push(to);
      }
    }
    return [...best].map(([to, weight]) => ({ to, weight }));
  });
  for (const [state, all] of reach.entries()) {
    if (all.some(({ to }) => finals[to] === 1)) finals[state] = 1;
  }
  return {
    states: network.states,
    start: network.start,
    finals,
    reach,
    roots,
    label: Uint8Array.from(label),
    next,
    ends,
  };
}

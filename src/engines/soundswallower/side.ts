import type { Arc, WordNetwork } from '../../grammar/network.ts';

/** Networks laid out as one graph: from one start to an end for each, in order. */
export interface SideBySide {
  readonly states: number;
  readonly start: number;
  readonly finals: readonly number[];
  readonly words: readonly Arc[];
  /** Steps without a word, closed under following them: the engine takes one at a time only. */
  readonly wordless: readonly {
    readonly from: number;
    readonly to: number;
    readonly weight?: number;
  }[];
}

/**
 *            ┌─▶ network 0 ─▶ finals[0]
 *     start ─┼─▶ network 1 ─▶ finals[1]
 *            └─▶ …
 */
export function sideBySide(networks: readonly WordNetwork[]): SideBySide {
  const start = 0;
  const words: Arc[] = [];
  const steps = new Map<number, [number, number][]>();
  const step = (from: number, to: number, weight = 0): void => {
    const known = steps.get(from);
    if (known === undefined) steps.set(from, [[to, weight]]);
    else known.push([to, weight]);
  };
  const finals: number[] = [];
  let states = 1;
  for (const network of networks) {
    const base = states;
    const final = base + network.states;
    states = final + 1;
    finals.push(final);
    step(start, base + network.start);
    for (const end of network.finals) step(base + end, final);
    for (const { from, to, word, weight = 0 } of network.arcs) {
      if (word === '') step(base + from, base + to, weight);
      else words.push({ from: base + from, to: base + to, word, weight });
    }
  }
  return { states, start, finals, words, wordless: closed(steps) };
}

function closed(
  steps: ReadonlyMap<number, readonly (readonly [number, number])[]>,
): SideBySide['wordless'] {
  const all: { from: number; to: number; weight: number }[] = [];
  for (const from of steps.keys()) {
    const seen = new Set([from]);
    const open: [number, number][] = [[from, 0]];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const [to, weight] of steps.get(at[0]) ?? []) {
        if (seen.has(to)) continue;
        seen.add(to);
        open.push([to, at[1] + weight]);
        all.push({ from, to, weight: at[1] + weight });
      }
    }
  }
  return all;
}

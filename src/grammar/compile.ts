import type { Arc, WordNetwork } from './network.ts';
import type { Program } from './program.ts';

/**
 * The word network of a program: determinized by subset construction, then made minimal by
 * splitting states until all that are left together behave alike. The way back of a repetition
 * stays a wordless arc.
 */
export function compile(program: Program): WordNetwork {
  return minimal(determinized(program));
}

/** Outgoing arcs by word; a word leads to one state, a wordless step may lead to several. */
interface State {
  readonly arcs: ReadonlyMap<string, readonly number[]>;
  readonly final: boolean;
}

function determinized(program: Program): readonly State[] {
  const numbers = new Map<string, number>();
  const sets: (readonly number[])[] = [];
  const numbered = (steps: Iterable<number>): number => {
    const set = closure(program, steps);
    const key = set.join();
    const known = numbers.get(key);
    if (known !== undefined) return known;
    numbers.set(key, sets.length);
    return sets.push(set) - 1;
  };
  numbered([0]);
  const states: State[] = [];
  for (let i = 0; i < sets.length; i++) {
    const onWord = new Map<string, number[]>();
    const back = new Set<number>();
    let final = false;
    for (const step of sets[i] ?? []) {
      const now = program[step];
      if (now?.op === 'end') final = true;
      else if (now?.op === 'again') back.add(step + now.to);
      else if (now?.op === 'word') {
        const to = onWord.get(now.word);
        if (to === undefined) onWord.set(now.word, [step + 1]);
        else to.push(step + 1);
      }
    }
    const arcs = new Map<string, readonly number[]>();
    for (const [word, to] of onWord) arcs.set(word, [numbered(to)]);
    if (back.size > 0)
      arcs.set(
        '',
        [...back].map((to) => numbered([to])),
      );
    states.push({ arcs, final });
  }
  return states;
}

/** Steps reachable without a word and without going back; only those that then matter are kept. */
function closure(program: Program, from: Iterable<number>): readonly number[] {
  const seen = new Set<number>();
  const kept: number[] = [];
  const open = [...from];
  for (let step = open.pop(); step !== undefined; step = open.pop()) {
    if (seen.has(step)) continue;
    seen.add(step);
    const now = program[step];
    if (now?.op === 'mark') open.push(step + 1);
    else if (now?.op === 'fork') open.push(...now.to.map((to) => step + to));
    else {
      kept.push(step);
      if (now?.op === 'again') open.push(step + now.on);
    }
  }
  return kept.sort((a, b) => a - b);
}

function minimal(states: readonly State[]): WordNetwork {
  let block: readonly number[] = states.map((state) => (state.final ? 1 : 0));
  let count = new Set(block).size;
  for (;;) {
    const numbers = new Map<string, number>();
    const next = states.map((state, i) => {
      const arcs = [...state.arcs].map(
        ([word, to]) => `${word}>${[...new Set(to.map((t) => block[t]))].sort().join('&')}`,
      );
      const key = `${block[i]}|${arcs.sort().join()}`;
      const known = numbers.get(key) ?? numbers.size;
      numbers.set(key, known);
      return known;
    });
    block = next;
    if (numbers.size === count) break;
    count = numbers.size;
  }
  const arcs: Arc[] = [];
  const finals = new Set<number>();
  const drawn = new Set<number>();
  for (const [i, state] of states.entries()) {
    const from = block[i] ?? 0;
    if (drawn.has(from)) continue;
    drawn.add(from);
    if (state.final) finals.add(from);
    for (const [word, to] of state.arcs) {
      for (const target of new Set(to.map((t) => block[t] ?? 0))) {
        if (word !== '' || target !== from) arcs.push({ from, to: target, word });
      }
    }
  }
  return { states: count, start: block[0] ?? 0, finals: [...finals], arcs };
}

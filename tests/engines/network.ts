import type { WordNetwork } from '../../src/grammar/index.ts';

/** A network that says one of these sentences and nothing else. */
export function oneOf(...sentences: readonly string[]): WordNetwork {
  const arcs: { from: number; to: number; word: string }[] = [];
  const finals: number[] = [];
  let states = 1;
  for (const sentence of sentences) {
    let from = 0;
    for (const word of sentence.split(' ')) {
      arcs.push({ from, to: states, word });
      from = states++;
    }
    finals.push(from);
  }
  return { states, start: 0, finals, arcs };
}

/** Side, site and grade, said once or, by a wordless way back, again and again. */
export const reflexes: WordNetwork = {
  states: 5,
  start: 0,
  finals: [4],
  arcs: [
    ...['left', 'right'].map((word) => ({ from: 0, to: 1, word })),
    ...['biceps', 'triceps', 'patellar', 'ankle'].map((word) => ({ from: 1, to: 2, word })),
    ...['one', 'two', 'three', 'four'].map((word) => ({ from: 2, to: 3, word })),
    { from: 3, to: 4, word: 'plus' },
    { from: 2, to: 4, word: 'absent' },
    { from: 4, to: 0, word: '' },
  ],
};

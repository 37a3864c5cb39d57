import type { WordNetwork } from '../../grammar/network.ts';
import { phones } from './dictionary.ts';
import type { Search } from './search.ts';

/** No grammar's word begins so. */
export const anyPhone = 'any-';

/**
 * Any phones in any order, as words of this search: what is said that is no sentence of a grammar.
 * @param weight of taking an utterance for that
 */
export function anySpeechIn(search: Search, weight = 0): WordNetwork {
  const loop = phones.map((phone) => `${anyPhone}${phone.toLowerCase()}`);
  for (const [i, word] of loop.entries()) search.add(word, [phones[i] ?? '']);
  return {
    states: 2,
    start: 0,
    finals: [1],
    arcs: [{ from: 0, to: 1, word: '', weight }, ...loop.map((word) => ({ from: 1, to: 1, word }))],
  };
}

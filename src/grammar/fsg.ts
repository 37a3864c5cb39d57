import type { WordNetwork } from './network.ts';

/**
 * A network as a Sphinx finite state grammar, the text form that CMU's recognisers read (`FSG_BEGIN`
 * … `FSG_END`). That form has one final state, so every final is led to a last one.
 */
export function printFsg(network: WordNetwork, name: string): string {
  const last = network.states;
  const lines = [
    `FSG_BEGIN <${name}>`,
    `NUM_STATES ${network.states + 1}`,
    `START_STATE ${network.start}`,
    `FINAL_STATE ${last}`,
    ...network.arcs.map(({ from, to, word }) => `TRANSITION ${from} ${to} 1.0 ${word}`.trimEnd()),
    ...network.finals.map((final) => `TRANSITION ${final} ${last} 1.0`),
    'FSG_END',
  ];
  return `${lines.join('\n')}\n`;
}

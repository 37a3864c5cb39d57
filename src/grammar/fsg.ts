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
    ...network.arcs.map(({ from, to, word, weight = 0 }) =>
      `TRANSITION ${from} ${to} ${share(weight)} ${word}`.trimEnd(),
    ),
    ...network.finals.map((final) => `TRANSITION ${final} ${last} 1.0`),
    'FSG_END',
  ];
  return `${lines.join('\n')}\n`;
}

/** Six decimals are enough; what is rare must not become what cannot be. */
const share = (weight: number): string => Math.max(1e-6, Math.exp(weight)).toFixed(6);

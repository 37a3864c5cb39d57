import type { WordNetwork } from '../grammar/index.ts';
import { english } from './language.ts';
import { pack } from './packed.ts';

const cases = import.meta.glob<string>('../../grammars/cases/*.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** What examiners say, from the cases that the grammar is tested by; not what must not be understood. */
const examples = Object.entries(cases)
  .filter(([path]) => !path.endsWith('/misses.txt'))
  .flatMap(([, text]) => text.split('\n'))
  .flatMap((line) => (/^\s*(#|$)/.test(line) ? [] : [line.split('==>', 1)[0]?.trim() ?? '']));

/** Every network that a dialogue can want, made from the grammar and the examples. */
export function englishNetworks(): ReadonlyMap<string, WordNetwork> {
  const language = english(undefined, examples);
  const states = [...language.grammar.rules.values()].filter(
    ({ name, isPublic }) => isPublic && name.startsWith('exam.'),
  );
  const rules = new Set(states.flatMap(({ name }) => language.parts(name)));
  return new Map([...rules].map((rule) => [rule, language.network(rule)]));
}

/** The same as bytes; the build keeps them beside the programs (`networks.bin`). */
export const packedNetworks = (): Uint8Array => pack(englishNetworks());

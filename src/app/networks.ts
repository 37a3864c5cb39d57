import { chosenLanguage, type LanguageId } from '../exam/index.ts';
import type { WordNetwork } from '../grammar/index.ts';
import { ofLanguage, spoken } from './language.ts';
import { pack } from './packed.ts';

const files = import.meta.glob<string>('../../grammars/*/cases/*.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** What examiners say, from the cases that a grammar is tested by; not what must not be understood. */
const examples = (id: LanguageId): readonly string[] =>
  ofLanguage(id, files)
    .filter(({ source }) => source !== 'cases/misses.txt')
    .flatMap(({ text }) => text.split('\n'))
    .flatMap((line) => (/^\s*(#|$)/.test(line) ? [] : [line.split('==>', 1)[0]?.trim() ?? '']));

/** Every network that a dialogue can want, made from a language's grammar and its cases. */
export function networks(id: LanguageId = chosenLanguage): ReadonlyMap<string, WordNetwork> {
  const language = spoken(id, undefined, examples(id));
  const states = [...language.grammar.rules.values()].filter(
    ({ name, isPublic }) => isPublic && name.startsWith('exam.'),
  );
  const rules = new Set(states.flatMap(({ name }) => language.parts(name)));
  return new Map([...rules].map((rule) => [rule, language.network(rule)]));
}

/** The same as bytes; the build keeps them beside the programs (`networks.bin`). */
export const packedNetworks = (id?: LanguageId): Uint8Array => pack(networks(id));

import type { WordNetwork } from '../grammar/index.ts';
import type { Language } from '../interpret/index.ts';
import { tokens } from '../interpret/tokens.ts';
import { englishBy } from './english.ts';

/**
 * The English of `grammars/`, whole.
 *
 * @param made its networks as the build made them; without, each is made when first wanted, which
 *   takes seconds
 */
export const english = (
  made?: ReadonlyMap<string, WordNetwork>,
  examples: readonly string[] = [],
): Language => englishBy(tokens, made, examples);

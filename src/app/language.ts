import type { WordNetwork } from '../grammar/index.ts';
import { createLanguage, type Language } from '../interpret/index.ts';

const grammars = import.meta.glob<string>('../../grammars/*.jsgf', {
  query: '?raw',
  import: 'default',
  eager: true,
});
const tables = import.meta.glob<string>('../../grammars/*.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

const fileName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/**
 * The English of `grammars/`, bundled with the program.
 *
 * @param made its networks as the build made them; without, each is made when first wanted, which
 *   takes seconds
 */
export const english = (
  made?: ReadonlyMap<string, WordNetwork>,
  examples: readonly string[] = [],
): Language =>
  createLanguage(
    Object.entries(grammars).map(([path, text]) => ({ source: fileName(path), text })),
    { source: 'abbreviations.txt', text: tables['../../grammars/abbreviations.txt'] ?? '' },
    { examples, ...(made === undefined ? {} : { made }) },
  );

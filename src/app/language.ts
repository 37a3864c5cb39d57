import type { LanguageId } from '../exam/index.ts';
import type { WordNetwork } from '../grammar/index.ts';
import { createLanguage, type Language } from '../interpret/index.ts';

const files = import.meta.glob<string>('../../grammars/*/*.{jsgf,txt}', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** Of bundled files those of one language's folder of `grammars/`, named as they are there. */
export function ofLanguage(
  id: LanguageId,
  bundled: Readonly<Record<string, string>>,
): readonly { readonly source: string; readonly text: string }[] {
  const folder = `../../grammars/${id}/`;
  return Object.entries(bundled).flatMap(([path, text]) =>
    path.startsWith(folder) ? [{ source: path.slice(folder.length), text }] : [],
  );
}

/**
 * A language's grammar, bundled with the program.
 *
 * @param made its networks as the build made them; without, each is made when first wanted, which
 *   takes seconds
 * @param examples what examiners say, to weigh by what is made
 */
export function spoken(
  id: LanguageId,
  made?: ReadonlyMap<string, WordNetwork>,
  examples: readonly string[] = [],
): Language {
  const own = ofLanguage(id, files);
  const file = (name: string) =>
    own.find(({ source }) => source === name) ?? { source: name, text: '' };
  return createLanguage(
    own.filter(({ source }) => source.endsWith('.jsgf')),
    file('abbreviations.txt'),
    { alike: file('alike.txt'), examples, ...(made === undefined ? {} : { made }) },
  );
}

/** The English of `grammars/en`. */
export const english = (): Language => spoken('en');

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

const fileName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/** The English of `grammars/`, bundled with the program. */
export const english = (): Language =>
  createLanguage(
    Object.entries(grammars).map(([path, text]) => ({ source: fileName(path), text })),
    { source: 'abbreviations.txt', text: tables['../../grammars/abbreviations.txt'] ?? '' },
    examples,
  );

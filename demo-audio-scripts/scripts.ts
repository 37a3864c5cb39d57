import { parseScript, type Script } from './script.ts';

const files = import.meta.glob<string>('./*.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** Every exam of this folder, in the order of their names, bundled with the program. */
export const scripts = (): readonly Script[] =>
  Object.entries(files)
    .sort(([a], [b]) => a.localeCompare(b, 'en'))
    .map(([path, text]) => parseScript(path.slice(2, -'.txt'.length), text));

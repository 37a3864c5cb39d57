import { mkdtemp, writeFile } from 'node:fs/promises';
import { builtinModules } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

/** One file of script from a file of this folder, for a process or a page that knows no TypeScript. */
export async function bundled(file: string): Promise<string> {
  const built = await build({
    configFile: false,
    logLevel: 'silent',
    build: {
      write: false,
      minify: false,
      target: 'es2022',
      lib: { entry: fileURLToPath(new URL(file, import.meta.url)), formats: ['es'] },
      rolldownOptions: { external: builtinModules.flatMap((name) => [name, `node:${name}`]) },
    },
  });
  const [result] = Array.isArray(built) ? built : [built];
  if (result === undefined || !('output' in result)) throw new Error('nothing was built');
  const [chunk] = result.output;
  return chunk.code;
}

/** The same, written to a file that Node runs. */
export async function bundledFile(file: string): Promise<string> {
  const path = join(await mkdtemp(join(tmpdir(), 'plessor-bundle-')), 'script.mjs');
  await writeFile(path, await bundled(file));
  return path;
}

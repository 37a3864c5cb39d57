import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';

const built = fileURLToPath(new URL('../../dist/page', import.meta.url));

/** Names of the files, below the page's address, that it had asked for when speech could be understood. */
export async function loadedToBeReady(page: Page): Promise<readonly string[]> {
  await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
  const loaded = await page.evaluate(() => {
    const ready = globalThis.marks.of('ready')[0]?.at ?? 0;
    const resources = performance.getEntriesByType('resource');
    const before = resources.filter(({ startTime }) => startTime < ready);
    return [location.href, ...before.map(({ name }) => name)];
  });
  return [...new Set(loaded.map((url) => new URL(url).pathname))].map((path) =>
    path === '/' ? 'index.html' : path.slice(1),
  );
}

/** Every script of the page, whatever it is needed for. */
export const everyScript = async (): Promise<readonly string[]> =>
  (await readdir(join(built, 'assets'))).map((name) => `assets/${name}`);

/** What only the worker of an engine or of the voice has in it. */
const notApp = /decoder_create|InferenceSession|flite/;

/**
 * App code among these files, in bytes, each gzipped as a server would: pages, styles and scripts,
 * without the workers of engines and voice.
 */
export async function appCode(names: readonly string[]): Promise<number> {
  let sum = 0;
  for (const name of names) {
    if (!/\.(js|css|html)$/.test(name)) continue;
    const bytes = await readFile(join(built, name));
    const worker = /worker-[^/]*\.js$/.test(name);
    if (!(worker && notApp.test(bytes.toString('latin1')))) sum += gzipSync(bytes).length;
  }
  return sum;
}

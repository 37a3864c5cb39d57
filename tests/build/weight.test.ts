import { expect, test } from 'vitest';
import { openRoom } from '../browser/browser.ts';
import { sharedBrowser } from '../browser/shared.ts';
import { appCode, everyScript, loadedToBeReady } from '../browser/weight.ts';

const { site, chromium } = sharedBrowser();

test('what the page loads to be ready is at most 150 kB of app code, gzipped', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  const loaded = await loadedToBeReady(page);
  // The page, its styles, its script; and the worker of an engine, which is not counted.
  expect(loaded).toContain('index.html');
  expect(loaded.filter((name) => /assets\/start-.*\.(js|css)$/.test(name))).toHaveLength(2);
  expect(loaded.some((name) => /assets\/worker-.*\.js$/.test(name))).toBe(true);
  const bytes = await appCode(loaded);
  expect(bytes).toBeGreaterThan(50_000);
  expect(bytes).toBeLessThanOrEqual(150_000);
  // And it is not all there is.
  expect(await appCode(await everyScript())).toBeGreaterThan(bytes);
  await page.context().close();
});

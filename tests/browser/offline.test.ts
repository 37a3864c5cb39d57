import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  type OpenBrowser,
  openBrowser,
  openRoom,
  openSite,
  type Site,
  savedRecord,
  type,
} from './browser.ts';

const built = fileURLToPath(new URL('../../dist/page', import.meta.url));
let folder: string;
let site: Site;
let chromium: OpenBrowser;
beforeAll(async () => {
  folder = join(await mkdtemp(join(tmpdir(), 'plessor-offline-')), 'page');
  await cp(built, folder, { recursive: true });
  site = await openSite(folder);
  chromium = await openBrowser();
});
afterAll(async () => {
  await chromium?.close();
  await site?.close();
  await rm(folder, { recursive: true, force: true });
});

const settle = { timeout: 60_000 };

/** Opens the page and waits until the browser keeps it. */
async function kept(): Promise<{ page: Page; context: BrowserContext }> {
  const { page } = await openRoom(
    chromium,
    site,
    { voice: 'silent' },
    {
      serviceWorkers: 'allow',
    },
  );
  await page.getByText('Ready', { exact: true }).waitFor(settle);
  await page.getByRole('button', { name: 'Settings' }).click();
  await page.getByText(/opens without a network/).waitFor(settle);
  await page.getByText(/It holds [1-9]\d* MB/).waitFor(settle);
  await page.keyboard.press('Escape');
  return { page, context: page.context() };
}

describe('opened once, the page needs no network', () => {
  test('it opens, is ready to listen, and takes an exam to its summary', async () => {
    const { page, context } = await kept();
    await page.reload();
    await context.setOffline(true);
    await page.reload();
    await page.getByText('Ready', { exact: true }).waitFor(settle);
    await type(page, 'right patellar 3+', 'yes', 'right plantar extensor', 'yes', 'exam complete');
    await page.getByText('Ranked sites').waitFor(settle);
    // With what is fetched late: the drawing, the papers, the panels.
    await page.getByRole('figure', { name: /way/i }).locator('svg').first().waitFor(settle);
    expect(await savedRecord(page)).toMatchObject({ complete: true });
    for (const [button, content] of [
      ['What can I say', 'Search'],
      ['Settings', 'Choose what hears'],
      ['Records', 'Save a review pack'],
    ] as const) {
      await page.getByRole('button', { name: button, exact: true }).click();
      await page.getByRole('dialog').getByText(content).first().waitFor(settle);
      await page.keyboard.press('Escape');
    }
    await context.close();
  }, 180_000);

  test('a new version leaves the exam alone, and starts when the page is next opened', async () => {
    const { page, context } = await kept();
    await page.reload();
    await page.getByText('Ready', { exact: true }).waitFor(settle);
    await type(page, 'right patellar 3+');
    const row = page.getByRole('row', { name: /patellar/ });
    await row.waitFor();
    const html = join(folder, 'index.html');
    const worker = join(folder, 'offline.js');
    const before = { html: await readFile(html, 'utf8'), worker: await readFile(worker, 'utf8') };
    try {
      await writeFile(html, before.html.replace('<title>Plessor', '<title>Plessor anew'));
      await writeFile(worker, before.worker.replace(/version = '[^']*'/, "version = 'anew'"));
      await page.evaluate(async () => {
        const registration = await navigator.serviceWorker.getRegistration();
        await registration?.update();
      });
      await page.getByRole('button', { name: 'Settings' }).click();
      await page.getByText(/new version is here/).waitFor(settle);
      await page.keyboard.press('Escape');
      await type(page, 'left patellar 2+');
      await expect.poll(() => row.textContent()).toMatch(/2\+/);
      expect(await page.title()).toBe('Plessor');
      page.on('dialog', (dialog) => void dialog.accept());
      await page.reload();
      await expect.poll(() => page.title(), settle).toBe('Plessor anew');
    } finally {
      await writeFile(html, before.html);
      await writeFile(worker, before.worker);
      await context.close();
    }
  }, 180_000);
});

test('it can be installed, with icons as large as they say', async () => {
  const { page, context } = await kept();
  const session = await context.newCDPSession(page);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  // A test's context is a private window, in which no browser installs anything.
  const errors = installabilityErrors.map(({ errorId }) => errorId);
  expect(errors.filter((id) => id !== 'in-incognito')).toEqual([]);
  const told = await session.send('Page.getAppManifest');
  const { icons } = JSON.parse(told.data ?? '{}') as {
    readonly icons: readonly {
      readonly src: string;
      readonly sizes: string;
      readonly type: string;
    }[];
  };
  const drawn = icons.filter(({ type: kind }) => kind === 'image/png');
  expect(drawn.length).toBeGreaterThan(1);
  for (const { src, sizes } of drawn) {
    const size = await page.evaluate(async (name) => {
      const image = new Image();
      image.src = name;
      await image.decode();
      return `${image.naturalWidth}x${image.naturalHeight}`;
    }, src);
    expect(size).toBe(sizes);
  }
  await context.close();
}, 120_000);

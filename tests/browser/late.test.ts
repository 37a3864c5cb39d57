import { readFile } from 'node:fs/promises';
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { openRoom, savedRecord, type } from './browser.ts';
import { sharedBrowser } from './shared.ts';

const { site, chromium } = sharedBrowser();

/**
 * The room in a page that gets its start and its workers and, until `mend` is called, nothing else: as
 * where the network, or the server's version of the page, went away right after it was opened.
 */
async function cutOff() {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await page.route(/\/assets\/(?!start-|.*worker)[^/]*\.js$/, (route) => route.abort());
  await page.reload();
  page.setDefaultTimeout(30_000);
  await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
  return { page, mend: () => page.unrouteAll() };
}

const told = 'This part of Plessor could not be fetched';

/** The panels that are fetched, and how one comes to each. */
const panels: Readonly<
  Record<string, readonly [title: string, open: (page: Page) => Promise<void>]>
> = {
  help: ['What can I say', (page) => type(page, 'help')],
  settings: ['Settings', (page) => page.getByRole('button', { name: 'Settings' }).click()],
  plan: ['My own plan', (page) => type(page, 'make my own plan')],
  records: ['Records on this device', (page) => type(page, 'show the records')],
};

describe('where what is fetched late does not come', () => {
  test('an exam is typed to its summary, and its read-backs, questions and corrections stand', async () => {
    const { page } = await cutOff();
    await type(
      page,
      'right patellar 3+, left 2+',
      'yes',
      'right ankle jerk 3+',
      'correction 2+',
      'plantar extensor',
      'right',
      'yes',
      'exam complete',
    );
    const summary = page.getByRole('region', { name: 'Where the lesion may be' });
    await summary.getByText('Ranked sites').waitFor();
    // The drawing alone is missing, and says so.
    await summary.getByRole('alert').filter({ hasText: told }).waitFor();
    await page.context().close();
  });

  test.each(Object.entries(panels))(
    'the panel %s says so with the focus in it, comes when tried again, and gives the focus back',
    async (_, [title, open]) => {
      const { page, mend } = await cutOff();
      await open(page);
      const dialog = page.getByRole('dialog', { name: title });
      await dialog.getByRole('alert').filter({ hasText: told }).waitFor();
      expect(await dialog.evaluate((it) => it.contains(document.activeElement))).toBe(true);
      const { violations } = await new AxeBuilder({ page }).analyze();
      expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html}`)).toEqual([]);
      if (process.env.PLESSOR_SHOTS !== undefined) {
        await page.screenshot({ path: `${process.env.PLESSOR_SHOTS}/late-${title}.png` });
      }
      await mend();
      // With the keyboard alone.
      const again = dialog.getByRole('button', { name: 'Try again' });
      await again.focus();
      await page.keyboard.press('Enter');
      await again.waitFor({ state: 'hidden' });
      await expect.poll(() => dialog.getByRole('button').count()).toBeGreaterThan(1);
      expect(await dialog.getByText(told).count()).toBe(0);
      expect(await dialog.evaluate((it) => it.contains(document.activeElement))).toBe(true);
      await page.keyboard.press('Escape');
      await dialog.waitFor({ state: 'hidden' });
      expect(await page.evaluate(() => document.activeElement?.tagName)).toMatch(/INPUT|BUTTON/);
      await page.context().close();
    },
  );

  test('a paper is not saved, the exam is still told to be unsaved, and it is saved once it comes', async () => {
    const { page, mend } = await cutOff();
    await type(page, 'right patellar 3+');
    await page.getByRole('button', { name: 'Save record (JSON)' }).click();
    await page.getByRole('alert').filter({ hasText: told }).waitFor();
    await page.getByRole('button', { name: 'New exam' }).click();
    const dialog = page.getByRole('dialog', { name: 'New exam' });
    await dialog.getByText('This exam is not saved').waitFor();
    await page.keyboard.press('Escape');
    await mend();
    const { findings } = (await savedRecord(page)) as { findings: unknown[] };
    expect(findings).toHaveLength(1);
    await page.context().close();
  });
});

test('a paper that comes late is of the exam it was asked of, and does not pass the next one for saved', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  let release = () => {};
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  await page.route(/\/assets\/papers-/, async (route) => {
    await held;
    await route.continue();
  });
  await page.reload();
  await type(page, 'right patellar 3+', 'yes', 'left patellar 2+');
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save record (JSON)' }).click();
  await page.getByRole('button', { name: 'New exam' }).click();
  await page.getByRole('button', { name: 'Begin without saving' }).click();
  await type(page, 'left biceps 2+');
  release();
  const saved = JSON.parse(await readFile(await (await coming).path(), 'utf8'));
  expect(saved.findings.map(({ site: place }: { site: string }) => place)).toEqual([
    'patellar',
    'patellar',
  ]);
  await page.getByRole('button', { name: 'New exam' }).click();
  await page.getByRole('dialog').getByText('This exam is not saved').waitFor();
  await page.context().close();
});

test('what was not opened yet is fetched once the page has nothing else to do', async () => {
  const { page, requests } = await openRoom(chromium, site, { voice: 'silent' });
  await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
  for (const name of ['Help', 'RecordsPanel', 'ReviewPanel', 'papers', 'recordsPack', 'Pathway']) {
    await expect
      .poll(() => requests.some((url) => url.includes(`/assets/${name}-`)), { timeout: 30_000 })
      .toBe(true);
  }
  await page.context().close();
});

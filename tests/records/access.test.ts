import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { themes } from '../../src/ui/index.ts';
import { openRoom, type } from '../browser/browser.ts';
import { sharedBrowser } from '../browser/shared.ts';
import {
  choosePassphrase,
  closePanel,
  downloaded,
  examine,
  openPack,
  openRecords,
  press,
  savePack,
} from './steps.ts';

const { site, chromium } = sharedBrowser();

const shots = process.env.PLESSOR_SHOTS;

/** What axe-core finds on a screen, in each theme; the rules that colours do not touch only once. */
async function violations(page: Page, screen: string): Promise<readonly string[]> {
  const told: string[] = [];
  for (const theme of themes.filter((one) => one !== 'auto')) {
    await page.evaluate((name) => {
      document.documentElement.dataset.theme = name;
    }, theme);
    const axe = new AxeBuilder({ page });
    if (theme !== 'light') axe.withRules(['color-contrast']);
    const { violations: found } = await axe.analyze();
    told.push(...found.map(({ id, nodes }) => `${screen}, ${theme}: ${id} ${nodes[0]?.html}`));
    if (shots !== undefined) await page.screenshot({ path: `${shots}/${screen}-${theme}.png` });
  }
  // Narrow: a telephone, and a desktop at 400 % (WCAG 2.2, 1.4.10).
  for (const width of [390, 320]) {
    await page.setViewportSize({ width, height: 800 });
    const wider = await page.evaluate(() => {
      const body = document.querySelector('dialog .panel-body') ?? document.documentElement;
      return body.scrollWidth - body.clientWidth;
    });
    if (wider > 0) told.push(`${screen}: ${wider} px wider than a window of ${width} px`);
    if (shots !== undefined && width === 390) {
      await page.screenshot({ path: `${shots}/${screen}-390.png` });
    }
  }
  await page.setViewportSize({ width: 1280, height: 900 });
  return told;
}

test('every screen of the records can be seen, read out and reached', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  page.setDefaultTimeout(50_000);
  const told: string[] = [];
  await openRecords(page);
  told.push(...(await violations(page, 'choose')));
  await choosePassphrase(page);
  await closePanel(page);
  await page.getByLabel('Patient label').fill('bed 4');
  await examine(page, 'right patellar 2+', 'left patellar 2+', 'right ankle eversion 4');
  const record = await downloaded(page, () => press(page, 'Save record (JSON)'));
  const kept = JSON.parse(record.toString('utf8'));
  const startedAt = new Date(Date.parse(kept.startedAt) - 7 * 86_400_000).toISOString();
  const earlier = JSON.stringify({ ...kept, exam: 'earlier', startedAt }).replaceAll('2+', '3+');
  await openRecords(page);
  await page.getByLabel('Choose a record (JSON) or FHIR bundle').setInputFiles({
    name: 'record.json',
    mimeType: 'application/json',
    buffer: Buffer.from(earlier),
  });
  await page.getByText('Taken in').waitFor();
  await page
    .getByRole('button', { name: /^Delete bed 4/ })
    .first()
    .click();
  told.push(...(await violations(page, 'records')));
  await press(page, 'No, keep');
  await page.getByLabel('Where I think the lesion is').fill('right L5 root');
  const pack = await savePack(page);
  await openPack(page, pack);
  await page.getByText('Finding 1 of 3').waitFor();
  await press(page, 'Agree');
  told.push(...(await violations(page, 'review')));
  await press(page, 'Put the pack away');
  await type(page, 'compare with last time');
  await page.getByText('to 2+, better').first().waitFor();
  told.push(...(await violations(page, 'compare')));
  await closePanel(page);
  told.push(...(await violations(page, 'exam')));
  await type(page, 'lock the records');
  await type(page, 'show the records');
  await page.getByRole('heading', { name: 'Locked' }).waitFor();
  told.push(...(await violations(page, 'locked')));
  expect(told).toEqual([]);
  await page.context().close();
}, 120_000);

test('by keys alone: a passphrase is chosen, and a review goes finding by finding', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  page.setDefaultTimeout(50_000);
  const reach = async (name: string) => {
    for (let n = 0; n < 120; n++) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => {
        const now = document.activeElement;
        const label = now instanceof HTMLInputElement ? now.labels?.[0]?.textContent : '';
        return (label || now?.textContent) ?? '';
      });
      if (at.trim() === name) return;
    }
    throw new Error(`"${name}" cannot be reached by keys`);
  };
  await type(page, 'right patellar 3+', 'left patellar 2+');
  await reach('Records');
  await page.keyboard.press('Enter');
  await reach('Passphrase');
  await page.keyboard.type('tendon hammer');
  await reach('The same again');
  await page.keyboard.type('tendon hammer');
  await page.keyboard.press('Enter');
  await page.getByText('From now on').waitFor();
  const pack = await savePack(page);
  await openPack(page, pack);
  await page.getByText('Finding 1 of 2').waitFor();
  await reach('Agree');
  await page.keyboard.press('Enter');
  await page.getByText('Finding 2 of 2').waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('dialog').waitFor({ state: 'hidden' });
  await page.context().close();
});

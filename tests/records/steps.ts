import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { type } from '../browser/browser.ts';

/** What a person does with the records, step by step. */
export const passphrase = 'tendon hammer';

const panel = (page: Page) => page.getByRole('dialog');
export const press = (page: Page, name: string | RegExp): Promise<void> =>
  page.getByRole('button', { name, exact: typeof name === 'string' }).click();

export async function openRecords(page: Page): Promise<void> {
  if (await panel(page).isVisible()) return;
  await press(page, 'Records');
  await panel(page).waitFor();
}
export async function closePanel(page: Page): Promise<void> {
  await panel(page).getByRole('button', { name: 'Close' }).click();
  await panel(page).waitFor({ state: 'hidden' });
}
const status = (page: Page, words: string | RegExp) =>
  panel(page).getByRole('status').filter({ hasText: words }).first();

export async function choosePassphrase(page: Page): Promise<void> {
  await openRecords(page);
  await page.getByLabel('Passphrase', { exact: true }).fill(passphrase);
  await page.getByLabel('The same again').fill(passphrase);
  await press(page, 'Keep exams');
  await status(page, 'From now on').waitFor();
}
export async function unlock(page: Page, word = passphrase): Promise<void> {
  await openRecords(page);
  await page.getByLabel('Passphrase', { exact: true }).fill(word);
  await press(page, 'Unlock');
  await status(page, 'Unlocked.').waitFor();
}
/** Opens an exam from the list, which is open. */
export async function openExam(page: Page, label: string): Promise<void> {
  await page
    .getByRole('button', { name: `Open ${label}` })
    .first()
    .click();
  await panel(page).waitFor({ state: 'hidden' });
}
/** Types utterances and waits until each is said back, which is after it is on disk. */
export async function examine(page: Page, ...said: readonly string[]): Promise<void> {
  for (const words of said) {
    await type(page, words);
    await page
      .locator('.heard q')
      .filter({ hasText: heardAs(words) })
      .first()
      .waitFor();
  }
}
/** Enough of what was typed to find it again as it is shown. */
const heardAs = (words: string): RegExp => new RegExp(words.split(/[ ,+]/, 2).join(' '), 'i');

/** The file that an act gives to the browser's downloads. */
export async function downloaded(page: Page, act: () => Promise<void>): Promise<Buffer> {
  const [file] = await Promise.all([page.waitForEvent('download'), act()]);
  return readFile(await file.path());
}

/** What the pack goes under; told some other way than the file. */
export const packPassphrase = 'plessor and pack';

/** Saves the exam at hand as a review pack; the records are open on the page. */
export async function savePack(page: Page): Promise<Buffer> {
  await page.getByLabel('Passphrase for the pack').first().fill(packPassphrase);
  return downloaded(page, () => press(page, 'Save a review pack'));
}
export async function openPack(page: Page, pack: Buffer, word = packPassphrase): Promise<void> {
  await openRecords(page);
  await page.getByLabel('The pack', { exact: true }).setInputFiles({
    name: 'exam.plessor',
    mimeType: 'application/octet-stream',
    buffer: pack,
  });
  await page.getByLabel('Passphrase for the pack').last().fill(word);
  await press(page, 'Open a review pack');
}

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import { type Air, openAir } from './air.ts';
import {
  listen,
  type OpenBrowser,
  openBrowser,
  openRoom,
  openSite,
  type Site,
  type,
} from './browser.ts';
import { savedFindings, words } from './spoken.ts';

let site: Site;
let chromium: OpenBrowser;
beforeAll(async () => {
  site = await openSite();
  chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
});
afterAll(async () => {
  await chromium?.close();
  await site?.close();
});

/** The bound of issue and guideline (300 to 500 ms set off stuttering). */
const boundMs = 500;

const loud = (s: number): boolean => Math.abs(s) > 0.02;

/** Plays the examiner's words; gives when their first sound is in the air, ms of the page's time. */
async function says(air: Air, sound: Sound): Promise<number> {
  const first = sound.findIndex(loud);
  return (await air.play(sound)) + (first / soundRate) * 1000;
}

const state = (page: Page, word: string): Promise<void> =>
  page.getByRole('status').getByText(word, { exact: true }).waitFor({ timeout: 20_000 });

/** A room in which the page has heard its own voice once, and then speaks at length. */
async function speaking(
  settings: { readonly headphones?: boolean } = {},
  echo = 0.1,
): Promise<{ readonly page: Page; readonly air: Air }> {
  const { page } = await openRoom(chromium, site, {
    voice: 'embedded',
    earcons: false,
    ...settings,
  });
  const air = await openAir(page, echo);
  await listen(page);
  await type(page, 'right patellar 2+', 'left patellar 2+');
  await state(page, 'Speaking');
  await state(page, 'Listening');
  await page.waitForTimeout(1000);
  const before = (await air.voice()).length;
  await type(page, 'read back');
  await state(page, 'Speaking');
  // The state is told before the first sound.
  await expect.poll(async () => (await air.voice()).length).toBe(before + 1);
  await page.waitForTimeout(300);
  return { page, air };
}

/** When the voice was broken off, after so many ms from `from`. */
async function stoppedAfter(air: Air, from: number): Promise<number> {
  const stop = async () => (await air.voice()).find(({ is, at }) => is === 'stopped' && at >= from);
  await expect.poll(stop, { timeout: 10_000 }).toBeDefined();
  return ((await stop())?.at ?? Number.NaN) - from;
}

const saidOver = (page: Page) => page.getByRole('alert').getByText(/Say that again/);

test('a voice over the read-back stops it within 500 ms, is told, and records nothing', async () => {
  const { page, air } = await speaking();
  const from = await says(air, await words('right ankle jerk three plus'));
  expect(await stoppedAfter(air, from)).toBeLessThan(boundMs);
  await saidOver(page).waitFor();
  await state(page, 'Listening');
  // Said again, it is heard, and the line goes.
  await page.waitForTimeout(3000);
  await air.play(await words('right ankle jerk three plus'));
  await page.getByRole('row', { name: /achilles/i }).waitFor({ timeout: 10_000 });
  expect(await savedFindings(page)).toEqual(
    ['left patellar 2+', 'right ankle jerk 3+', 'right patellar 2+'].sort(),
  );
  expect(await saidOver(page).count()).toBe(0);
  await page.context().close();
}, 90_000);

test('the read-back alone is heard to its end', async () => {
  const { page, air } = await speaking();
  await state(page, 'Listening');
  expect((await air.voice()).filter(({ is }) => is === 'stopped')).toEqual([]);
  expect(await saidOver(page).count()).toBe(0);
  await page.context().close();
}, 90_000);

test('whoever speaks on after the read-back, too softly to stop it, is told', async () => {
  const { page, air } = await speaking({}, 0.5);
  const said = await words('right ankle jerk three plus');
  const whole = said.subarray(said.findIndex(loud), said.findLastIndex(loud));
  // Without a breath, so that no part of it can be taken for an utterance.
  const soft = joined([whole, whole, whole]).map((s) => 0.1 * s);
  await air.play(soft);
  await saidOver(page).waitFor({ timeout: 20_000 });
  expect(await savedFindings(page)).toEqual(['left patellar 2+', 'right patellar 2+']);
  await page.context().close();
}, 90_000);

test('with headphones a voice stops it within 500 ms, and is heard', async () => {
  const { page, air } = await speaking({ headphones: true }, 0);
  const from = await says(air, await words('right ankle jerk three plus'));
  expect(await stoppedAfter(air, from)).toBeLessThan(boundMs);
  await page.getByRole('row', { name: /achilles/i }).waitFor({ timeout: 20_000 });
  await page.context().close();
}, 90_000);

/** What a hand can do; a switch does as the pointer or Enter. */
const acts: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  'a key': (page) => page.keyboard.press('Escape'),
  'the pointer': (page) => page.getByRole('button', { name: 'Stop', exact: true }).click(),
  'a switch on the button': async (page) => {
    await page.getByRole('button', { name: 'Stop', exact: true }).focus();
    await page.keyboard.press('Enter');
  },
  'typed words': (page) => type(page, 'stop'),
};

test.each(Object.entries(acts))(
  'stopped within 500 ms by %s',
  async (_name, act) => {
    const { page, air } = await speaking();
    const from = await page.evaluate(() => performance.now());
    await act(page);
    expect(await stoppedAfter(air, from)).toBeLessThan(boundMs);
    await page.context().close();
  },
  90_000,
);

test('an example of what can be said is spoken, and nothing comes of it, though the microphone hears it', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'embedded', earcons: false });
  const air = await openAir(page, 0.6);
  await listen(page);
  await page.getByRole('button', { name: 'What can I say' }).click();
  const panel = page.getByRole('dialog', { name: 'What can I say' });
  await panel.getByLabel(/Only let me hear/).check();
  await panel.getByRole('button', { name: 'exam complete', exact: true }).click();
  await expect.poll(async () => (await air.voice()).length, { timeout: 20_000 }).toBe(1);
  await page.waitForTimeout(3000);
  expect(await page.locator('.transcript li').count()).toBe(0);
  expect(await panel.count()).toBe(1);
  await page.context().close();
}, 60_000);

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

/** What the examiner says, rendered before the page speaks: that takes as long as the machine is busy. */
const interrupting = 'right ankle jerk three plus';
let said: Sound;
beforeAll(async () => {
  said = await words(interrupting);
});

/** Plays the examiner's words; gives when their first sound is in the air, ms of the room's time. */
async function says(air: Air, sound: Sound): Promise<number> {
  const first = sound.findIndex(loud);
  return (await air.play(sound)) + (first / soundRate) * 1000;
}

const state = (page: Page, word: string): Promise<void> =>
  page.getByRole('status').getByText(word, { exact: true }).waitFor({ timeout: 20_000 });

/**
 * A page that speaks at length. All is timed by the clock of the room's sound: of what the page does
 * nothing is left out, of how busy the machine is with other things as much as does not reach the ear.
 *
 * @param before whether the page has heard its own voice out in this room
 */
async function speaking(
  settings: { readonly headphones?: boolean } = {},
  echo = 0.1,
  before: 'heard out once' | 'never heard' = 'heard out once',
): Promise<{ readonly page: Page; readonly air: Air }> {
  const { page } = await openRoom(chromium, site, {
    voice: 'embedded',
    earcons: false,
    ...settings,
  });
  const air = await openAir(page, echo);
  await listen(page);
  const begun = async () => (await air.voice()).filter(({ is }) => is === 'begun');
  const next = async (...utterances: readonly string[]): Promise<number> => {
    const already = (await begun()).length;
    await type(page, ...utterances);
    // The state is told before the first sound.
    await expect
      .poll(async () => (await begun()).length, { timeout: 20_000 })
      .toBeGreaterThan(already);
    return (await begun())[already]?.at ?? Number.NaN;
  };
  if (before === 'never heard') {
    const from = await next('right patellar 2+, left 3+');
    // Its first words tell how loud it is.
    await air.until(from + 500);
    return { page, air };
  }
  await type(page, 'right patellar 2+', 'left patellar 2+');
  await state(page, 'Speaking');
  await state(page, 'Listening');
  await page.waitForTimeout(1000);
  await air.until((await next('read back')) + 300);
  return { page, air };
}

/** When the voice was broken off, ms after `from` by that clock. */
async function stoppedAfter(
  air: Air,
  from: number,
  clock: 'at' | 'pageAt' = 'at',
): Promise<number> {
  const stop = async () =>
    (await air.voice()).find(({ is, [clock]: at }) => is === 'stopped' && at >= from);
  await expect.poll(stop, { timeout: 10_000 }).toBeDefined();
  return ((await stop())?.[clock] ?? Number.NaN) - from;
}

const saidOver = (page: Page) => page.getByRole('alert').getByText(/Say that again/);

test('a voice over the read-back stops it within 500 ms, is told, and records nothing', async () => {
  const { page, air } = await speaking();
  const from = await says(air, said);
  expect(await stoppedAfter(air, from)).toBeLessThan(boundMs);
  await saidOver(page).waitFor();
  await state(page, 'Listening');
  // Said again, it is heard, and the line goes.
  await page.waitForTimeout(3000);
  await air.play(said);
  await page.getByRole('row', { name: /achilles/i }).waitFor({ timeout: 10_000 });
  expect(await savedFindings(page)).toEqual(
    ['left patellar 2+', 'right ankle jerk 3+', 'right patellar 2+'].sort(),
  );
  expect(await saidOver(page).count()).toBe(0);
  await page.context().close();
}, 90_000);

test('a voice over the very first read-back stops it within 500 ms, too', async () => {
  const { page, air } = await speaking({}, 0.1, 'never heard');
  const from = await says(air, said);
  expect(await stoppedAfter(air, from)).toBeLessThan(boundMs);
  await saidOver(page).waitFor();
  expect(await savedFindings(page)).toEqual(['left patellar 3+', 'right patellar 2+']);
  await page.context().close();
}, 90_000);

test.each([
  ['heard out once', 0.1],
  ['never heard', 0.1],
  ['never heard', 0.6],
] as const)(
  'the read-back alone, %s, is heard to its end: echo %d',
  async (before, echo) => {
    const { page, air } = await speaking({}, echo, before);
    await state(page, 'Listening');
    expect((await air.voice()).filter(({ is }) => is === 'stopped')).toEqual([]);
    expect(await saidOver(page).count()).toBe(0);
    await page.context().close();
  },
  90_000,
);

test('whoever speaks on after the read-back, too softly to stop it, is told', async () => {
  const { page, air } = await speaking({}, 0.5);
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
  const from = await says(air, said);
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
    // From when the hand moved, as the browser tells it: the way of the driver to it is none of the page's.
    await page.evaluate(() => {
      const moved: number[] = [];
      for (const type of ['keydown', 'pointerdown']) {
        addEventListener(type, ({ timeStamp }) => moved.push(timeStamp), { capture: true });
      }
      Object.assign(globalThis, { moved });
    });
    await act(page);
    const from = await page.evaluate(() => Number(Reflect.get(globalThis, 'moved')[0]));
    expect(await stoppedAfter(air, from, 'pageAt')).toBeLessThan(boundMs);
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

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import type { KeyUse } from '../../src/ui/index.ts';
import { type Air, openAir } from './air.ts';
import { type OpenBrowser, openBrowser, openRoom, openSite, type Site, type } from './browser.ts';
import { savedFindings, words } from './spoken.ts';

let site: Site;
let chromium: OpenBrowser;
beforeAll(async () => {
  site = await openSite();
  chromium = await openBrowser({ wav: writeWav(new Float32Array(soundRate)) });
});
afterAll(async () => {
  await chromium?.close();
  await site?.close();
});

const pause = (ms: number): Sound => new Float32Array((ms * soundRate) / 1000);
const lengthMs = (sound: Sound): number => (sound.length / soundRate) * 1000;

interface Line {
  readonly words: string;
  readonly key: 'up' | 'down';
}

interface Exam {
  readonly sound: Sound;
  /** When the key goes down and up, ms from the beginning of the sound. */
  readonly moves: readonly { readonly at: number; readonly now: 'up' | 'down' }[];
}

/**
 * An exam as one sound, and how the examiner moves the key in it: down half a second before the
 * first word, up as long after the last.
 */
async function rendered(lines: readonly Line[]): Promise<Exam> {
  const moves: Exam['moves'][number][] = [];
  const parts: Sound[] = [pause(1000)];
  for (const { words: said, key } of lines) {
    const at = lengthMs(joined(parts));
    const sound = await words(said);
    parts.push(sound, pause(2000));
    if (key === 'down') {
      moves.push({ at: at - 500, now: 'down' }, { at: at + lengthMs(sound) + 500, now: 'up' });
    }
  }
  return { sound: joined(parts), moves };
}

/** The exam in the microphone, and the key in the examiner's hand. */
async function examine(page: Page, air: Air, use: KeyUse, { sound, moves }: Exam): Promise<void> {
  const began = await air.play(sound);
  const until = (at: number) => air.until(began + at);
  for (const { at, now } of moves) {
    await until(at);
    if (use === 'switched') await page.keyboard.press('F8');
    else if (now === 'down') await page.keyboard.down('F8');
    else await page.keyboard.up('F8');
  }
  await until(lengthMs(sound));
}

/** Opens the microphone, which waits for the key from the first moment. */
async function listenByKey(page: Page): Promise<void> {
  await page.getByText('Ready', { exact: true }).first().waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await page.getByText('Key up', { exact: true }).waitFor();
}

const heard = (page: Page) => page.locator('.transcript li').allTextContents();

/** Counts what the state's live region announces. */
const watchStatus = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const status = document.querySelector('.standing [role=status]');
    const told: string[] = [];
    Object.assign(globalThis, { told });
    if (status === null) return;
    new MutationObserver(() => told.push(status.textContent ?? '')).observe(status, {
      childList: true,
      characterData: true,
      subtree: true,
    });
  });

test.each(['held', 'switched'] as const)(
  'a key that is %s: what is said while it is up is not recorded, what is said while it is down is',
  async (use) => {
    // Before the microphone is open: one that gives nothing for long is told of, too.
    const exam = await rendered([
      { key: 'up', words: 'left patellar three plus' },
      { key: 'down', words: 'right patellar two plus' },
      { key: 'up', words: 'right ankle jerk absent' },
      { key: 'down', words: 'left ankle jerk one plus' },
      { key: 'down', words: 'stand by' },
      { key: 'up', words: 'go on' },
      { key: 'down', words: 'right plantar extensor' },
      { key: 'down', words: 'go on' },
      { key: 'down', words: 'left plantar flexor' },
      { key: 'up', words: 'exam complete' },
    ]);
    const { page, complaints } = await openRoom(chromium, site, {
      voice: 'silent',
      key: { use, code: 'F8', name: 'F8' },
    });
    const air = await openAir(page, 0);
    await listenByKey(page);
    await watchStatus(page);
    await examine(page, air, use, exam);
    await expect.poll(() => heard(page), { timeout: 20_000 }).toHaveLength(6);
    expect(await savedFindings(page)).toEqual(
      ['right patellar 2+', 'left ankle jerk 1+', 'left plantar flexor'].sort(),
    );
    expect(await page.getByRole('region', { name: 'Where the lesion may be' }).count()).toBe(0);
    // Standing by and going on are told; the key going up and down is not.
    const told = await page.evaluate(() => Reflect.get(globalThis, 'told'));
    expect(told).toEqual(['Standing by', expect.stringMatching(/^Listening .* F8/)]);
    expect(complaints).toEqual([]);
    await page.context().close();
  },
  150_000,
);

test('the key is chosen by pressing it, those that others need are refused, and it stays chosen', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await page.getByRole('button', { name: 'Settings' }).click();
  const panel = page.getByRole('dialog', { name: 'Settings' });
  await panel.getByLabel('Listen only while the key is held').check();
  const line = panel.getByRole('group', { name: 'Key or foot switch' }).getByRole('status');
  expect(await line.textContent()).toMatch(/No key is chosen/);
  const choose = panel.getByRole('button', { name: 'Choose the key' });
  await choose.focus();
  await page.keyboard.press('Enter');
  await line.getByText(/Press the key now/).waitFor();
  for (const [key, why] of [
    ['Space', /page itself/],
    ['Enter', /page itself/],
    ['CapsLock', /Screen readers/],
    ['F5', /browser needs/],
  ] as const) {
    await page.keyboard.press(key);
    await line.getByText(why).waitFor();
  }
  await page.keyboard.press('F8');
  await line.getByText('The key is F8.').waitFor();
  // Escape leaves the choice, then the panel; Tab goes on.
  await page.keyboard.press('Enter');
  await page.keyboard.press('Escape');
  await line.getByText('The key is F8.').waitFor();
  expect(await panel.count()).toBe(1);
  const kept = await page.evaluate(() => localStorage.getItem('plessor-settings'));
  expect(JSON.parse(kept ?? '').key).toEqual({ use: 'held', code: 'F8', name: 'F8' });
  await page.context().close();
}, 60_000);

test('pressing the key stops the voice, and what is said then is heard; the button does the same', async () => {
  const { page } = await openRoom(chromium, site, {
    voice: 'embedded',
    earcons: false,
    key: { use: 'held', code: 'F8', name: 'F8' },
  });
  const air = await openAir(page, 0.1);
  await listenByKey(page);
  await type(page, 'right patellar 2+, left 2+', 'read back');
  await expect.poll(async () => (await air.voice()).length, { timeout: 20_000 }).toBeGreaterThan(0);
  await page.keyboard.down('F8');
  await expect.poll(async () => (await air.voice()).at(-1)?.is).toBe('stopped');
  await page.getByText('Listening', { exact: true }).waitFor();
  await page.waitForTimeout(800);
  const said = await words('right ankle jerk three plus');
  await air.play(said);
  await page.waitForTimeout(lengthMs(said) + 300);
  await page.keyboard.up('F8');
  await page.getByRole('row', { name: /achilles/i }).waitFor({ timeout: 20_000 });

  await page.getByText('Key up', { exact: true }).waitFor({ timeout: 20_000 });
  const button = page.getByRole('button', { name: 'Hear me' });
  await button.click();
  expect(await button.getAttribute('aria-pressed')).toBe('true');
  await page.waitForTimeout(1200);
  await air.play(await words('left plantar extensor'));
  await page.getByRole('row', { name: /plantar/i }).waitFor({ timeout: 20_000 });
  await page.context().close();
}, 120_000);

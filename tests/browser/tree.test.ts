import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { type OpenBrowser, openBrowser, openRoom, openSite, type Site } from './browser.ts';

/** What a screen reader is told: roles, names and states, as the browser gives them. */
let site: Site;
let chromium: OpenBrowser;
let page: Page;
beforeAll(async () => {
  site = await openSite();
  chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
});
afterAll(async () => {
  await chromium?.close();
  await site?.close();
});
beforeEach(async () => {
  ({ page } = await openRoom(chromium, site, { voice: 'silent' }));
});

const tree = (of = 'body'): Promise<string> => page.locator(of).ariaSnapshot();
/** Waits until the tree has all of these, in this order. */
const told = async (...parts: readonly string[]): Promise<void> => {
  const all = parts.map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('[\\s\\S]*');
  await expect.poll(() => tree(), { timeout: 30_000 }).toMatch(new RegExp(all));
};
const write = async (...utterances: readonly string[]): Promise<void> => {
  for (const words of utterances) {
    await page.keyboard.type(words);
    await page.keyboard.press('Enter');
  }
};
/** Moves on with Tab alone until the focus is on what has this name. */
async function tabTo(name: string, back = false): Promise<void> {
  const focused = (): Promise<string> =>
    page.evaluate(() => {
      const at = document.activeElement;
      const labels = at instanceof HTMLInputElement ? [...(at.labels ?? [])] : [];
      return (labels[0] ?? at)?.textContent?.trim() ?? '';
    });
  for (let i = 0; i < 120; i++) {
    if ((await focused()) === name) return;
    await page.keyboard.press(back ? 'Shift+Tab' : 'Tab');
  }
  throw new Error(`Tab never came to "${name}"`);
}

describe('the whole exam by keyboard, as a screen reader is told of it', () => {
  test('from the first Tab to the signature and the next patient', async () => {
    await page.keyboard.press('Tab');
    await told('link "Skip to typing"');
    await page.keyboard.press('Enter');
    await write('right patellar 3+');
    await told(
      'status: Said back Right patellar three plus.',
      'row "patellar not examined 3+',
      'abnormal to confirm',
    );

    // A question, its numbered answers, and the focus where the examiner left it.
    await write('ankle jerk 1+');
    await told('region "Question Ankle jerk one plus: left, right or both?"', 'button "1 left"');
    await tabTo('Enter');
    await tabTo('2 right', true);
    await page.keyboard.press('Enter');
    await told('Said back Right ankle jerk one plus.');

    await page.getByLabel('Type instead of speaking').focus();
    await write('correction 0');
    await told('Said back Corrected. Right ankle jerk zero.', 'was 1+');
    await write('affirm', 'exam complete');
    await told('Said back Not examined:', 'say skip', 'button "Skip"', 'region "Where the lesion');
    await tabTo('Skip');
    await page.keyboard.press('Enter');
    await page.getByLabel('Type instead of speaking').focus();
    await write('affirm', 'sign off');
    await told('status: ✓ Signed off');
    await tabTo('Next patient');
    await page.keyboard.press('Enter');
    await told('Said back This exam is not saved.');
    await page.getByLabel('Type instead of speaking').focus();
    await write('affirm');
    await told('paragraph: Nothing is recorded yet.');
  });

  test('prompted along a plan, answered and skipped', async () => {
    await page.getByLabel('Type instead of speaking').focus();
    await write('plan magnesium watch', 'prompt me');
    await told('region "Asked for now Patellar?"', 'list "Left"', 'list "Right"', 'button "Skip"');
    await write('two plus on both sides');
    await told('region "Asked for now Respiratory difficulty?"');
    await tabTo('Enter');
    await tabTo('Skip', true);
    await page.keyboard.press('Enter');
    await expect.poll(() => tree()).not.toMatch(/Asked for now/);
    await page.getByLabel('Type instead of speaking').focus();
    await write('I lead');
    await told('Said back You lead.', 'button "Prompt me"');
  });

  test('each state of the ear is told as a status, what fails as an alert', async () => {
    await told('status: Ready', 'button "Listen"');
    await tabTo('Listen');
    await page.keyboard.press('Enter');
    await told('status: Listening', 'meter "Loudness"', 'button "Stop listening"');
    await page.getByLabel('Type instead of speaking').focus();
    await write('stand by');
    await told('status: Standing by', 'button "Go on"');
    await write('go on');
    await told('status: Listening');
    await told('status: I cannot hear you');
    await tabTo('Stop listening', true);
    await page.keyboard.press('Enter');
    await told('status: Ready');
    await page.evaluate(() => {
      navigator.mediaDevices.getUserMedia = () =>
        Promise.reject(new DOMException('busy', 'NotReadableError'));
    });
    await tabTo('Listen');
    await page.keyboard.press('Enter');
    await told('status: Not listening', 'alert', 'Another program holds the microphone');
  });

  test('panels hold the focus, have names, and give it back', async () => {
    for (const [opens, name] of [
      ['What can I say', 'What can I say'],
      ['Settings', 'Settings'],
      ['Microphone check', 'Microphone check'],
      ['Make my own plan', 'My own plan'],
    ] as const) {
      await tabTo(opens);
      await page.keyboard.press('Enter');
      await told(`dialog "${name}"`);
      await page.keyboard.press('Escape');
      await expect.poll(() => tree()).not.toMatch(/dialog/);
      const back = await page.evaluate(() => document.activeElement?.textContent?.trim());
      expect(back).toBe(opens);
    }
  });
});

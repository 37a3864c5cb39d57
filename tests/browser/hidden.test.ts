import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { listen, openBrowser, openRoom, openSite } from './browser.ts';
import { savedFindings, spoken } from './spoken.ts';

/**
 * Makes of a page what browsers make of a hidden tab: no frames are drawn, and timers run once a second
 * (HTML Standard, "page visibility"; Chromium's throttling of timers). A browser that is driven by a
 * test keeps every page visible, so it is done by hand. Gives what shows the page again.
 */
async function hide(page: Page): Promise<() => Promise<void>> {
  await page.evaluate(() => {
    const { setTimeout, setInterval, requestAnimationFrame } = globalThis;
    const turn = (to: DocumentVisibilityState): void => {
      Object.defineProperty(document, 'visibilityState', { value: to, configurable: true });
      Object.defineProperty(document, 'hidden', { value: to === 'hidden', configurable: true });
      document.dispatchEvent(new Event('visibilitychange'));
    };
    const waiting: FrameRequestCallback[] = [];
    const slow = (timer: typeof setTimeout | typeof setInterval) =>
      Object.assign(
        (done: TimerHandler, after = 0, ...rest: unknown[]) =>
          timer(done as () => void, Math.max(1000, after), ...rest),
        timer,
      );
    Object.assign(globalThis, {
      setTimeout: slow(setTimeout),
      setInterval: slow(setInterval),
      requestAnimationFrame: (frame: FrameRequestCallback) => waiting.push(frame),
      show: () => {
        Object.assign(globalThis, { setTimeout, setInterval, requestAnimationFrame });
        for (const frame of waiting) requestAnimationFrame(frame);
        turn('visible');
      },
    });
    turn('hidden');
  });
  return () => page.evaluate(() => Reflect.get(globalThis, 'show')());
}

test('an exam goes on while its tab is hidden', async () => {
  const site = await openSite();
  const sound = await spoken([
    'right patellar two plus',
    'left patellar three plus',
    'right ankle jerk one plus',
    'correction absent',
    'left ankle jerk two plus',
    'affirm',
    'exam complete',
    'affirm',
    'sign off',
  ]);
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page, complaints } = await openRoom(chromium, site, { voice: 'silent' });
    await listen(page);
    await page.getByRole('row', { name: /patellar/ }).waitFor({ timeout: 30_000 });
    const show = await hide(page);
    // Two findings and a correction are said meanwhile.
    await expect
      .poll(() => page.locator('.transcript li').count(), { timeout: 60_000 })
      .toBeGreaterThanOrEqual(5);
    await show();
    await page.getByText('Signed off', { exact: true }).waitFor({ timeout: 60_000 });
    expect(await savedFindings(page)).toEqual(
      ['right patellar 2+', 'left patellar 3+', 'right ankle jerk 0', 'left ankle jerk 2+'].sort(),
    );
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
    await site.close();
  }
}, 150_000);

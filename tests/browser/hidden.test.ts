import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { type Finding, findingName } from '../../src/exam/index.ts';
import { enter, listen, openSite, openWindow } from './browser.ts';
import { signedOff, spoken } from './spoken.ts';

/** Brings the page's window down to the bar, or back. */
async function turn(page: Page, windowState: 'minimized' | 'normal'): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const { windowId } = await session.send('Browser.getWindowForTarget');
  await session.send('Browser.setWindowBounds', { windowId, bounds: { windowState } });
  await session.detach();
}

/** How many frames are drawn, and how often a timer of 10 ms runs, in two seconds. */
const pulse = (page: Page): Promise<{ readonly frames: number; readonly ticks: number }> =>
  page.evaluate(
    () =>
      new Promise((resolve) => {
        let frames = 0;
        let ticks = 0;
        const frame = () => {
          frames += 1;
          requestAnimationFrame(frame);
        };
        requestAnimationFrame(frame);
        setInterval(() => {
          ticks += 1;
        }, 10);
        setTimeout(() => resolve({ frames, ticks }), 2000);
      }),
  );

/** The findings that the page would save: such a browser hands no download to its driver. */
async function heldFindings(page: Page): Promise<readonly string[]> {
  const taken = page.evaluate(
    () =>
      new Promise<string>((resolve) => {
        const make = URL.createObjectURL;
        URL.createObjectURL = (blob) => {
          URL.createObjectURL = make;
          void (blob as Blob).text().then(resolve);
          return make(blob);
        };
      }),
  );
  await page.getByRole('button', { name: 'Save record (JSON)' }).click();
  const { findings } = JSON.parse(await taken) as { readonly findings: readonly Finding[] };
  return findings.map((finding) => findingName(finding)).sort();
}

test('an exam goes on while its window is hidden: no frames, timers once a second', async () => {
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
  const chromium = await openWindow({ wav: writeWav(sound) });
  try {
    const [page] = chromium.browser.contexts().flatMap((context) => context.pages());
    if (page === undefined) throw new Error('the browser opened no page');
    const { complaints } = await enter(page, site, { voice: 'silent' });
    await listen(page);
    await page.getByRole('row', { name: /patellar/ }).waitFor({ timeout: 30_000 });
    await turn(page, 'minimized');
    await expect.poll(() => page.evaluate(() => document.visibilityState)).toBe('hidden');
    const { frames, ticks } = await pulse(page);
    expect(frames).toBeLessThan(10);
    expect(ticks).toBeLessThan(10);
    // Two findings and a correction are said meanwhile.
    await expect
      .poll(() => page.locator('.transcript li').count(), { timeout: 60_000 })
      .toBeGreaterThanOrEqual(5);
    expect(await page.evaluate(() => document.visibilityState)).toBe('hidden');
    await turn(page, 'normal');
    await expect.poll(() => page.evaluate(() => document.visibilityState)).toBe('visible');
    await signedOff(page);
    expect(await heldFindings(page)).toEqual(
      ['right patellar 2+', 'left patellar 3+', 'right ankle jerk 0', 'left ankle jerk 2+'].sort(),
    );
    const summary = page.getByRole('region', { name: 'Where the lesion may be' });
    await summary.getByText('Ranked sites').waitFor();
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
    await site.close();
  }
}, 150_000);

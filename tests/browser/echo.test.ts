import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { openAir } from './air.ts';
import { listen, openBrowser, openRoom, openSite, type } from './browser.ts';
import { savedFindings } from './spoken.ts';

/** How many utterances the page has had. */
const saidCount = (page: Page): Promise<number> => page.locator('.transcript li').count();

test('the read-back that comes back through the microphone records nothing', async () => {
  const site = await openSite();
  const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
  try {
    const { page } = await openRoom(chromium, site, { voice: 'embedded', earcons: false });
    const air = await openAir(page, 0.6);
    await listen(page);
    await type(page, 'right patellar 3+');
    const listening = page.getByRole('status').getByText('Listening', { exact: true });
    await page.getByRole('status').getByText('Speaking', { exact: true }).waitFor();
    await listening.waitFor({ timeout: 20_000 });
    // Long enough for the end of an utterance to be noticed and heard.
    await page.waitForTimeout(3000);
    expect(await saidCount(page)).toBe(1);
    expect(await savedFindings(page)).toEqual(['right patellar 3+']);

    // The same sound while nothing is being said is heard: it was not the microphone that was dead.
    await air.again();
    await expect.poll(() => saidCount(page), { timeout: 20_000 }).toBe(2);
    expect(await page.locator('.transcript li').first().textContent()).toMatch(
      /right patellar three plus/,
    );
  } finally {
    await chromium.close();
    await site.close();
  }
}, 120_000);

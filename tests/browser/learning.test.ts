import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { listen, openBrowser, openRoom, openSite, type Site } from './browser.ts';
import { spoken } from './spoken.ts';

let site: Site;
beforeAll(async () => {
  site = await openSite();
});
afterAll(() => site?.close());

test('the page learns from what stood, says so, and forgets it when told to', async () => {
  const sound = await spoken(
    [
      'right biceps two plus',
      'left biceps two plus',
      'right triceps two plus',
      'left triceps two plus',
      'right patellar two plus',
      'left patellar two plus',
      'right ankle jerk two plus',
      'left ankle jerk two plus',
      'right plantar flexor',
      'left plantar flexor',
      'right brachioradialis two plus',
      'left brachioradialis two plus',
      'exam complete',
    ],
    { voice: 'kal16', pauseMs: 2000 },
  );
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page, complaints } = await openRoom(chromium, site, { voice: 'silent', learn: true });
    const kept = () => page.evaluate(() => localStorage.getItem('plessor-fit'));
    await listen(page);
    expect(await kept()).toBeNull();
    await expect.poll(kept, { timeout: 120_000, interval: 1000 }).not.toBeNull();
    await page.getByRole('button', { name: 'Settings' }).click();
    const learning = page.getByRole('group', { name: 'My way of speaking' });
    await learning.getByText(/Learnt from \d+ replies/).waitFor();
    await learning.getByRole('button', { name: 'Forget my voice' }).click();
    await learning.getByText(/Nothing is learnt yet/).waitFor();
    expect(await kept()).toBeNull();
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
  }
}, 180_000);

import { expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { listen, openBrowser, openRoom, openSite } from './browser.ts';
import { savedFindings, signedOff, spoken } from './spoken.ts';

test('called by a word chosen by voice, the page takes nothing without it, until it is let go by voice', async () => {
  const sound = await spoken([
    'attention word for the record',
    'left patellar three plus',
    'for the record right patellar two plus',
    'undo',
    'exam complete',
    // A question is answered without it.
    'for the record ankle jerk one plus',
    'left',
    'for the record attention word off',
    'right plantar extensor',
    'exam complete',
    'affirm',
    'sign off',
  ]);
  const site = await openSite();
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page, complaints } = await openRoom(chromium, site, { voice: 'silent' });
    await listen(page);
    await page.getByText('Begin with “for the record”.').waitFor({ timeout: 30_000 });
    await signedOff(page);
    expect(await savedFindings(page)).toEqual([
      'left ankle jerk 1+',
      'right patellar 2+',
      'right plantar extensor',
    ]);
    expect(await page.getByText(/Begin with/).count()).toBe(0);
    const kept = await page.evaluate(() => localStorage.getItem('plessor-settings'));
    expect(JSON.parse(kept ?? '').attention).toBe('');
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
    await site.close();
  }
}, 150_000);

import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { joined } from '../../src/ports.ts';
import { openAir } from './air.ts';
import { listen, openBrowser, openRoom, openSite, type Site } from './browser.ts';
import { savedFindings, sayNext, signedOff, spoken, words } from './spoken.ts';

let site: Site;
beforeAll(async () => {
  site = await openSite();
});
afterAll(() => site?.close());

const silent = { voice: 'silent' } as const;

test('a prompted exam, from the plan to the signature, with no hand after the start', async () => {
  const sound = await spoken([
    'plan my own',
    'prompt me',
    'right two plus left two plus',
    'absent on both sides',
    // The next item is prompted for already.
    'correction right one plus',
    // A whole finding of another item is of that item.
    'right biceps reflex three plus',
    'right flexor left extensor',
    'affirm',
    'exam complete',
    'sign off',
  ]);
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const own = ['reflex:patellar', 'reflex:achilles', 'plantar:foot'];
    const { page, complaints } = await openRoom(chromium, site, { ...silent, own });
    await listen(page);
    await signedOff(page);
    expect(await savedFindings(page)).toEqual(
      [
        'right patellar 2+',
        'left patellar 2+',
        'right ankle jerk 1+',
        'left ankle jerk 0',
        'right biceps reflex 3+',
        'right plantar flexor',
        'left plantar extensor',
      ].sort(),
    );
    const summary = page.getByRole('region', { name: 'Where the lesion may be' });
    await summary.getByText('Ranked sites').waitFor();
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
  }
}, 150_000);

test('an exam with every kind of correction', async () => {
  const sound = await spoken([
    'right patellar two plus',
    'correction three plus',
    'left ankle jerk two plus',
    'correction right',
    'right biceps reflex two plus',
    'correction right triceps reflex two plus',
    'left plantar extensor',
    'negative',
    'right plantar flexor',
    'disregard',
    'undo',
    'left patellar one plus',
    'left patellar two plus',
    'I say again left patellar three plus',
    'exam complete',
    'affirm',
    'sign off',
  ]);
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page } = await openRoom(chromium, site, silent);
    await listen(page);
    await signedOff(page);
    expect(await savedFindings(page)).toEqual(
      [
        'right patellar 3+',
        'right ankle jerk 2+',
        'right triceps reflex 2+',
        'right plantar flexor',
        'left patellar 3+',
      ].sort(),
    );
    // What was replaced or taken back stays in sight.
    const record = page.getByRole('region', { name: 'Record' });
    expect(await record.getByRole('row', { name: /patellar/ }).textContent()).toMatch(
      /was\s*1\+[\s\S]*was\s*2\+/,
    );
    expect(await record.textContent()).toMatch(/taken back:\s*extensor/);
  } finally {
    await chromium.close();
  }
}, 180_000);

test('talk to the patient in between records nothing and asks nothing', async () => {
  const examiner = (...said: readonly string[]) => spoken(said);
  const room = (...said: readonly string[]) => spoken(said, { voice: 'slt', pauseMs: 1200 });
  const sound = joined([
    await room('good morning, please sit down here'),
    await examiner('right patellar three plus'),
    await room('just let your leg hang loose', 'it is the left one that hurts'),
    await examiner('left patellar two plus'),
    await room('my mother had the same thing', 'two of my brothers too'),
    await examiner('right plantar extensor', 'affirm', 'exam complete', 'affirm'),
    await room('you can put your shoes on now'),
    await examiner('sign off'),
  ]);
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page } = await openRoom(chromium, site, silent);
    await listen(page);
    await signedOff(page);
    expect(await savedFindings(page)).toEqual([
      'left patellar 2+',
      'right patellar 3+',
      'right plantar extensor',
    ]);
    expect(await page.getByRole('region', { name: /Question/ }).count()).toBe(0);
  } finally {
    await chromium.close();
  }
}, 180_000);

test('the microphone is checked by voice, of which nothing is recorded, and the exam goes on', async () => {
  const sound = await spoken(
    ['microphone check', 'right patellar two plus', 'go on', 'left ankle jerk one plus'],
    { pauseMs: 2500 },
  );
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page } = await openRoom(chromium, site, silent);
    await listen(page);
    const panel = page.getByRole('dialog', { name: 'Microphone check' });
    await panel
      .getByRole('status')
      .getByText(/The microphone works/)
      .waitFor({ timeout: 60_000 });
    expect(await panel.textContent()).toMatch(/right patellar 2\+/);
    await page.getByRole('row', { name: /achilles/i }).waitFor({ timeout: 60_000 });
    expect(await panel.count()).toBe(0);
    expect(await savedFindings(page)).toEqual(['left ankle jerk 1+']);
  } finally {
    await chromium.close();
  }
}, 120_000);

test('an exam whose microphone is lost in mid sentence and comes back, with no hand for either', async () => {
  const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
  try {
    const { page, complaints } = await openRoom(chromium, site, silent);
    const air = await openAir(page, 0);
    await listen(page);
    await sayNext(page, air, 'right patellar two plus');
    // Half of it is heard: that is no finding.
    await air.play((await words('left patellar three plus')).subarray(0, 16_000));
    await page.waitForTimeout(800);
    await air.unplug();
    await page
      .getByRole('alert')
      .getByText(/unplugged/)
      .waitFor();
    await page.waitForTimeout(4000);
    await page.getByRole('status').getByText('Not listening', { exact: true }).waitFor();
    await air.plugIn();
    await page.getByRole('status').getByText('Listening', { exact: true }).waitFor();
    expect(await page.getByRole('alert').textContent()).not.toMatch(/unplugged/);
    for (const said of [
      'left patellar three plus',
      'right plantar extensor',
      'affirm',
      'exam complete',
      'affirm',
      'sign off',
    ]) {
      await sayNext(page, air, said);
    }
    await signedOff(page);
    expect(await savedFindings(page)).toEqual([
      'left patellar 3+',
      'right patellar 2+',
      'right plantar extensor',
    ]);
    const summary = page.getByRole('region', { name: 'Where the lesion may be' });
    await summary.getByText('Ranked sites').waitFor();
    // The next patient, by voice as well: nothing of the one before is in the new record.
    await sayNext(page, air, 'next patient');
    await sayNext(page, air, 'left ankle jerk one plus');
    expect(await savedFindings(page)).toEqual(['left ankle jerk 1+']);
    expect(complaints).toEqual([]);
  } finally {
    await chromium.close();
  }
}, 180_000);

test('what is understood is in sight, and talk closes no panel that a hand is busy with', async () => {
  const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
  try {
    const { page } = await openRoom(chromium, site, silent);
    const air = await openAir(page, 0);
    await listen(page);
    await page.getByRole('button', { name: 'Settings' }).click();
    const panel = page.getByRole('dialog', { name: 'Settings' });
    await sayNext(page, air, 'my mother had the same thing');
    expect(await panel.count()).toBe(1);
    await sayNext(page, air, 'right patellar two plus');
    await expect.poll(() => panel.count()).toBe(0);
  } finally {
    await chromium.close();
  }
}, 90_000);

import { describe, expect, test } from 'vitest';
import { openRoom, savedRecord, type } from './browser.ts';
import { sharedBrowser } from './shared.ts';

const { site, chromium } = sharedBrowser();
const silent = { voice: 'silent' } as const;

describe('an exam by keyboard alone', () => {
  test('from the first finding to the summary and the papers', async () => {
    const { page, requests, complaints } = await openRoom(chromium, site, silent);
    // The first Tab of the page leads to the line for typing.
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.keyboard.type('right patellar 3+, left 2+');
    await page.keyboard.press('Enter');
    const record = page.getByRole('region', { name: 'Record' });
    await record.getByRole('row', { name: /patellar.*sides differ.*2\+.*3\+/ }).waitFor();
    for (const words of ['yes', 'right plantar extensor', 'left ankle jerk 2+', 'correction 1+']) {
      await page.keyboard.type(words);
      await page.keyboard.press('Enter');
    }
    const ankle = record.getByRole('row', { name: /achilles/i });
    await expect
      .poll(() => ankle.textContent())
      .toMatch(/1\+[\s\S]*to confirm[\s\S]*was[\s\S]*2\+/);
    await page.keyboard.type('exam complete');
    await page.keyboard.press('Enter');
    const summary = page.getByRole('region', { name: 'Where the lesion may be' });
    await summary.getByText('Ranked sites').waitFor();
    expect(await summary.textContent()).toMatch(/aid to reasoning[\s\S]*defers to the clinician/);
    await page
      .getByText(/Not yet confirmed/)
      .first()
      .waitFor();
    await page.keyboard.type('affirm');
    await page.keyboard.press('Enter');
    await expect.poll(() => record.getByText('to confirm', { exact: true }).count()).toBe(0);
    expect(await savedRecord(page)).toMatchObject({
      complete: true,
      findings: [
        { kind: 'reflex', site: 'patellar', side: 'right', value: '3+' },
        { kind: 'reflex', site: 'patellar', side: 'left', value: '2+' },
        { kind: 'plantar', site: 'foot', side: 'right', value: 'extensor' },
        { kind: 'reflex', site: 'achilles', side: 'left', value: '1+' },
      ],
    });
    expect(
      requests.filter((url) => !url.startsWith(site.address) && !url.startsWith('blob:')),
    ).toEqual([]);
    expect(complaints).toEqual([]);
  });

  test('a question is answered by typing or by its button, and nothing is recorded before', async () => {
    const { page } = await openRoom(chromium, site, silent);
    await type(page, 'patellar three plus');
    const question = page.getByRole('region', { name: /Question/ });
    await question.waitFor();
    expect(await question.textContent()).toMatch(/left, right or both/);
    await page.getByText('Nothing is recorded yet.').waitFor();
    const left = question.getByRole('button', { name: 'left' });
    await left.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('row', { name: /patellar/ }).waitFor();
    expect(await question.count()).toBe(0);
  });

  test('every command has a button of its own name', async () => {
    const { page } = await openRoom(chromium, site, silent);
    await type(page, 'right patellar 3+');
    const row = page.getByRole('row', { name: /patellar/ });
    await page.getByRole('button', { name: 'Affirm' }).click();
    await expect.poll(() => row.textContent()).toMatch(/confirmed/);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => row.textContent()).toMatch(/to confirm/);
    await page.getByRole('button', { name: 'Disregard' }).click();
    await page.getByRole('button', { name: 'Stand by' }).click();
    await type(page, 'left patellar 2+');
    expect(await row.textContent()).not.toMatch(/2\+/);
    await page.getByRole('button', { name: 'Go on' }).click();
    await type(page, 'left patellar 2+');
    await expect.poll(() => row.textContent()).toMatch(/2\+/);
  });

  test('Plessor leads along the plan, answered by buttons', async () => {
    const { page } = await openRoom(chromium, site, { ...silent, lead: 'plessor' });
    await page.getByLabel('Exam plan').selectOption('Magnesium infusion watch');
    const asked = page.getByRole('region', { name: /Asked for now/ });
    await asked.getByRole('heading', { name: /Patellar/ }).waitFor();
    await asked.getByRole('list', { name: 'Left' }).getByRole('button', { name: /1\+/ }).click();
    await asked.getByRole('list', { name: 'Right' }).getByRole('button', { name: /1\+/ }).click();
    await asked.getByRole('heading', { name: /respiratory difficulty/i }).waitFor();
    await asked.getByRole('button', { name: 'absent' }).click();
    await page.getByText('Nothing of this plan is left.').waitFor();
    expect(await asked.count()).toBe(0);
  });

  test('a plan of one’s own is made, followed and remembered', async () => {
    const { page } = await openRoom(chromium, site, silent);
    await type(page, 'make my own plan');
    const panel = page.getByRole('dialog', { name: 'My own plan' });
    await panel.waitFor();
    const follow = panel.getByRole('button', { name: 'Plan my own' });
    expect(await follow.isDisabled()).toBe(true);
    await panel.getByText('Tendon reflexes').focus();
    await page.keyboard.press('Enter');
    for (const name of ['ankle jerk', 'jaw jerk']) {
      await panel.getByRole('checkbox', { name }).focus();
      await page.keyboard.press('Space');
    }
    await panel.getByText('Chosen: 2').waitFor();
    await follow.focus();
    await page.keyboard.press('Enter');
    expect(await page.getByLabel('Exam plan').locator('option:checked').textContent()).toBe(
      'My own plan',
    );
    const left = page.getByRole('region', { name: /What is left/ });
    expect(await left.getByRole('listitem').allTextContents()).toEqual(['jaw jerk', 'ankle jerk']);
    const kept = await page.evaluate(() => localStorage.getItem('plessor-settings') ?? '');
    expect(JSON.parse(kept).own.toSorted()).toEqual(['reflex:achilles', 'reflex:jaw']);
  });

  test('a new exam is not begun over one that was not saved', async () => {
    const { page } = await openRoom(chromium, site, silent);
    await type(page, 'right patellar 3+');
    await page.getByRole('button', { name: 'New exam' }).click();
    const panel = page.getByRole('dialog', { name: 'New exam' });
    await panel.getByText(/not saved/).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('row', { name: /patellar/ }).waitFor();
    await page.getByRole('button', { name: 'New exam' }).click();
    await panel.getByRole('button', { name: 'Begin without saving' }).click();
    await page.getByText('Nothing is recorded yet.').waitFor();
  });

  test('what can be said is found by a word of it and done when pressed', async () => {
    const { page } = await openRoom(chromium, site, silent);
    await page.getByRole('button', { name: 'What can I say' }).click();
    const panel = page.getByRole('dialog', { name: 'What can I say' });
    await panel.getByLabel('Search').fill('hoffmann');
    const found = panel.getByRole('listitem');
    await expect.poll(() => found.count()).toBeGreaterThan(0);
    for (const item of await found.all()) expect(await item.textContent()).toMatch(/hoffmann/i);
    await found.first().getByRole('button').click();
    await page.getByRole('row', { name: /Hoffmann/ }).waitFor();
  });
});

test('everything said is there however much it is, numbered from the first', async () => {
  const { page } = await openRoom(chromium, site, silent);
  const sentences = Array.from({ length: 120 }, (_, i) => `patient is ${(i % 90) + 1} years old`);
  await type(page, ...sentences);
  const lines = page.locator('.transcript li');
  // Shut, it does not grow with the exam.
  await expect.poll(() => lines.first().textContent()).toContain('patient is thirty years old');
  expect(await lines.count()).toBeLessThan(120);
  await page.getByText('Everything said').click();
  await expect.poll(() => lines.count()).toBe(120);
  expect(await lines.last().textContent()).toContain('patient is one');
  expect(await page.locator('.transcript ol').getAttribute('start')).toBe('120');
  await page.close();
});

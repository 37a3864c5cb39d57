import type { Page } from 'playwright-core';
import { openAir } from './air.ts';
import { listen, type } from './browser.ts';

/** Each screen of the page and how one comes to it. */
export const screens: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  start: async () => {},
  'mid exam': (page) =>
    type(page, 'right patellar 3+, left 2+', 'yes', 'right ankle jerk 1+', 'correction 0'),
  question: (page) => type(page, 'patellar three plus'),
  prompt: (page) => page.getByRole('button', { name: 'triceps reflex' }).click(),
  summary: async (page) => {
    await type(
      page,
      'saddle pinprick reduced',
      'bladder trouble',
      'ankle jerks absent',
      'exam complete',
    );
    await page.getByText('Ranked sites').waitFor();
  },
  listening: async (page) => {
    const air = await openAir(page, 0);
    await listen(page);
    // Room noise: a microphone that gives nothing at all is another screen.
    await air.play(Float32Array.from({ length: 160_000 }, (_, i) => 0.002 * Math.sin(i * i)));
    await type(page, 'right patellar 3+', 'left patellar 2+');
    await page.getByRole('status').getByText('Listening', { exact: true }).waitFor();
  },
  'waiting for the key': async (page) => {
    const air = await openAir(page, 0);
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Listen only while the key is held').check();
    await page.getByRole('button', { name: 'Choose the key' }).click();
    await page.keyboard.press('F8');
    await page.keyboard.press('Escape');
    await page.getByText('Ready', { exact: true }).first().waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.getByText('Key up', { exact: true }).waitFor();
    await air.play(Float32Array.from({ length: 160_000 }, (_, i) => 0.002 * Math.sin(i * i)));
    await type(page, 'right patellar 3+', 'left patellar 2+');
  },
  'standing by': async (page) => {
    await openAir(page, 0);
    await listen(page);
    await type(page, 'stand by');
  },
  'not examined': (page) => type(page, 'right patellar 2+, left 2+', 'exam complete'),
  'signed off': async (page) => {
    await type(page, 'right patellar 3+', 'exam complete', 'affirm', 'sign off');
    await page.getByText('Signed off', { exact: true }).waitFor();
  },
  'microphone trouble': async (page) => {
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.getByRole('button', { name: 'Listen again' }).waitFor();
  },
  'what can I say': (page) => page.getByRole('button', { name: 'What can I say' }).click(),
  'own plan': async (page) => {
    await type(page, 'make my own plan');
    await page.getByText('Tendon reflexes').last().click();
    await page.getByLabel('ankle jerk').check();
  },
  'microphone check': (page) => page.getByRole('button', { name: 'Microphone check' }).click(),
  settings: (page) => page.getByRole('button', { name: 'Settings' }).click(),
  'choosing the key': async (page) => {
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Listen only while the key is held').check();
    await page.getByRole('button', { name: 'Choose the key' }).click();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Enter');
    await page.keyboard.press('F5');
    await page.getByText(/The browser needs/).scrollIntoViewIfNeeded();
  },
  'recognition models': async (page) => {
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByRole('button', { name: 'Choose what hears' }).click();
    await page.getByRole('button', { name: /^Add, 6/ }).waitFor();
  },
  'new exam': async (page) => {
    await type(page, 'right patellar 3+');
    await page.getByRole('button', { name: 'New exam' }).click();
  },
};

import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { renderScript, speaker } from '../../demo-audio-scripts/index.ts';
import { type Finding, findingName } from '../../src/exam/index.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import type { FliteVoice } from '../../src/voice/index.ts';
import type { Air } from './air.ts';
import { savedRecord } from './browser.ts';

const flite = fliteInNode();

/** A second before the first word: the microphone is open before the exam begins. */
const leadMs = 1000;

/** What is said one after the other, each followed by a pause in which it is heard and read back. */
export async function spoken(
  said: readonly string[],
  {
    voice = 'rms',
    pauseMs = 1800,
  }: { readonly voice?: FliteVoice; readonly pauseMs?: number } = {},
): Promise<Sound> {
  const lines = said.flatMap((words, i) => [
    { is: 'pause' as const, ms: i === 0 ? leadMs : pauseMs },
    {
      is: 'said' as const,
      by: 'examiner' as const,
      words,
      findings: [],
      command: undefined,
      line: i + 1,
    },
  ]);
  const script = { name: 'spoken', title: '', note: '', lines, sites: [] };
  const { sound } = await renderScript(script, speaker(flite, { voice }));
  return joined([sound, new Float32Array(soundRate)]);
}

/** One utterance as sound. */
export const words = speaker(flite, { voice: 'rms' });

/** Says something and waits until it was heard. */
export async function sayNext(page: Page, air: Air, said: string): Promise<void> {
  const heard = () => page.evaluate(() => globalThis.marks.of('understood').length);
  const before = await heard();
  await page.waitForTimeout(600);
  await air.play(await words(said));
  await expect.poll(heard, { timeout: 30_000 }).toBe(before + 1);
}

/** The findings of the record that the page would save, by name. */
export async function savedFindings(page: Page): Promise<readonly string[]> {
  const { findings } = (await savedRecord(page)) as { readonly findings: readonly Finding[] };
  return findings.map((finding) => findingName(finding)).sort();
}

/** Waits for the end of an exam; where it does not come, tells what was heard and answered. */
export async function signedOff(page: Page): Promise<void> {
  const mark = page.getByText('Signed off', { exact: true });
  await mark.waitFor({ timeout: 90_000 }).catch(async () => {
    const said = await page.locator('.transcript li').allTextContents();
    throw new Error(`not signed off; the latest first:\n${said.join('\n')}`);
  });
}

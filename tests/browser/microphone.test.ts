import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Script, scripts } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { hearExam, loadRecogniser } from '../../src/cli/hearing.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { type Finding, findingName, standingFindings } from '../../src/exam/index.ts';
import type { Sound } from '../../src/ports.ts';
import { openBrowser, openRoom, openSite, type Site, savedRecord } from './browser.ts';

let site: Site;
beforeAll(async () => {
  site = await openSite();
});
afterAll(() => site?.close());

const script = (name: string): Script => {
  const found = scripts().find((one) => one.name === name);
  if (found === undefined) throw new Error(`there is no demo exam "${name}"`);
  return found;
};

/** What the command line makes of the same sound. */
async function byCommandLine(sound: Sound): Promise<readonly string[]> {
  const recogniser = await loadRecogniser();
  try {
    const pieces = function* () {
      for (let at = 0; at < sound.length; at += 16_000) yield sound.subarray(at, at + 16_000);
    };
    const { session } = await hearExam(pieces(), { recogniser });
    return standingFindings(session.state.record).map(findingName).sort();
  } finally {
    await recogniser.close();
  }
}

const names = (saved: unknown): readonly string[] =>
  (saved as { readonly findings: readonly Finding[] }).findings.map(findingName).sort();

describe('a rendered exam as the microphone', () => {
  test('gives the record of the command line, is read back aloud, and ends in the summary', async () => {
    const { sound } = await renderedExam(script('corrections'), 'slt');
    const expected = await byCommandLine(sound);
    const chromium = await openBrowser({ wav: writeWav(sound) });
    try {
      const { page, requests, complaints } = await openRoom(chromium, site, {
        voice: 'embedded',
        headphones: true,
      });
      await page.evaluate(() => {
        const start = AudioBufferSourceNode.prototype.start;
        Object.assign(globalThis, { spoken: [] });
        AudioBufferSourceNode.prototype.start = function (...args) {
          Reflect.get(globalThis, 'spoken').push(this.buffer?.duration ?? 0);
          start.apply(this, args);
        };
      });
      await page.getByText('Ready', { exact: true }).waitFor();
      await page.getByRole('button', { name: 'Listen', exact: true }).click();
      await page.getByText('Listening', { exact: true }).waitFor();
      const summary = page.getByRole('region', { name: 'Where the lesion may be' });
      await summary.getByText('Ranked sites').waitFor({ timeout: 120_000 });
      const spoken = await page.evaluate(() => Reflect.get(globalThis, 'spoken') as number[]);
      expect(spoken.length).toBeGreaterThan(5);
      expect(Math.min(...spoken)).toBeGreaterThan(0.1);
      expect(names(await savedRecord(page))).toEqual(expected);
      const foreign = requests.filter(
        (url) => !url.startsWith(site.address) && !url.startsWith('blob:'),
      );
      expect(foreign).toEqual([]);
      expect(complaints).toEqual([]);
    } finally {
      await chromium.close();
    }
  }, 150_000);
});

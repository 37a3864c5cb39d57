import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { writeWav } from '../../src/audio/wav.ts';
import { listen, openBrowser, openRoom, openSite, type } from './browser.ts';
import { savedFindings } from './spoken.ts';

/**
 * Lets the microphone hear what the page plays, a little later and softer, as it does in a room; and
 * keeps what was played, to be played to the microphone again.
 */
const loudspeakerIntoMicrophone = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const play = AudioBufferSourceNode.prototype.start;
    let room: AudioContext | undefined;
    let air: MediaStreamAudioDestinationNode | undefined;
    const played: AudioBuffer[] = [];
    const toMicrophone = (buffer: AudioBuffer): void => {
      if (room === undefined || air === undefined) return;
      const source = new AudioBufferSourceNode(room, { buffer });
      source.connect(new GainNode(room, { gain: 0.6 })).connect(air);
      play.call(source, room.currentTime + 0.04);
    };
    navigator.mediaDevices.getUserMedia = async () => {
      room = new AudioContext();
      air = room.createMediaStreamDestination();
      await room.resume();
      return air.stream;
    };
    AudioBufferSourceNode.prototype.start = function (...args) {
      if (this.buffer !== null && this.buffer.duration > 0.3) {
        played.push(this.buffer);
        toMicrophone(this.buffer);
      }
      play.apply(this, args);
    };
    Object.assign(globalThis, { played, again: () => played.slice().forEach(toMicrophone) });
  });

/** How many utterances the page has had. */
const saidCount = (page: Page): Promise<number> => page.locator('.transcript li').count();

test('the read-back that comes back through the microphone records nothing', async () => {
  const site = await openSite();
  const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
  try {
    const { page } = await openRoom(chromium, site, { voice: 'embedded', earcons: false });
    await loudspeakerIntoMicrophone(page);
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
    await page.evaluate(() => Reflect.get(globalThis, 'again')());
    await expect.poll(() => saidCount(page), { timeout: 20_000 }).toBe(2);
    expect(await page.locator('.transcript li').first().textContent()).toMatch(
      /right patellar three plus/,
    );
  } finally {
    await chromium.close();
    await site.close();
  }
}, 120_000);

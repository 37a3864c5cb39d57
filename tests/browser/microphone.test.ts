import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parseScript, type Script } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { hearExam, loadedModel } from '../../src/cli/hearing.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { type Finding, findingName, standingFindings } from '../../src/exam/index.ts';
import type { Sound } from '../../src/ports.ts';
import {
  listen,
  openBrowser,
  openRoom,
  openSite,
  type Site,
  savedRecord,
  type,
} from './browser.ts';

let site: Site;
beforeAll(async () => {
  site = await openSite();
});
afterAll(() => site?.close());

/** Invented. The examiner waits for each read-back, as one does who hears it. */
const short: Script = parseScript(
  'short',
  `title: Brisk on the right
examiner: right patellar three plus
  ==> reflex patellar right 3+
pause 3.5s
command: affirm
  ==> ! confirm
examiner: left patellar two plus
  ==> reflex patellar left 2+
pause 3.5s
patient-talk: stand on your toes for me, first on the right
pause 2s
examiner: right plantar flexor
  ==> plantar foot right flexor
pause 3.5s
examiner: correction, extensor
  ==> plantar foot right extensor
pause 4.5s
command: exam complete
  ==> ! exam-complete
pause 6s
expect site: hemisphere left
`,
);

/** What the command line makes of the same sound. */
async function byCommandLine(sound: Sound): Promise<readonly string[]> {
  const hearer = await loadedModel();
  try {
    const pieces = function* () {
      for (let at = 0; at < sound.length; at += 16_000) yield sound.subarray(at, at + 16_000);
    };
    const { session } = await hearExam(pieces(), hearer);
    return standingFindings(session.state.record)
      .map((finding) => findingName(finding))
      .sort();
  } finally {
    await hearer.recogniser.close();
  }
}

const names = (saved: unknown): readonly string[] =>
  (saved as { readonly findings: readonly Finding[] }).findings
    .map((finding) => findingName(finding))
    .sort();

describe('a rendered exam as the microphone', () => {
  test('gives the record of the command line, is read back aloud, and ends in the summary', async () => {
    const { sound } = await renderedExam(short, 'slt');
    const expected = await byCommandLine(sound);
    expect(expected).toContain('right patellar 3+');
    const chromium = await openBrowser({ wav: writeWav(sound) });
    try {
      const { page, requests, complaints } = await openRoom(chromium, site, { voice: 'embedded' });
      await page.evaluate(() => {
        const start = AudioBufferSourceNode.prototype.start;
        const spoken: number[] = [];
        Object.assign(globalThis, { spoken });
        AudioBufferSourceNode.prototype.start = function (...args) {
          spoken.push(this.buffer?.duration ?? 0);
          start.apply(this, args);
        };
      });
      await listen(page);
      const summary = page.getByRole('region', { name: 'Where the lesion may be' });
      await summary.getByText('Ranked sites').waitFor({ timeout: 90_000 });
      const spoken = await page.evaluate(() => Reflect.get(globalThis, 'spoken') as number[]);
      // A read-back for each finding that stands, at the least.
      expect(spoken.length).toBeGreaterThanOrEqual(expected.length);
      expect(Math.min(...spoken)).toBeGreaterThan(0.3);
      expect(names(await savedRecord(page))).toEqual(expected);
      const foreign = requests.filter(
        (url) => !url.startsWith(site.address) && !url.startsWith('blob:'),
      );
      expect(foreign).toEqual([]);
      expect(complaints).toEqual([]);
    } finally {
      await chromium.close();
    }
  }, 180_000);
});

describe('without a microphone the exam goes on by typing', () => {
  const goesOn = async (page: Parameters<typeof type>[0]): Promise<void> => {
    await type(page, 'right patellar 3+');
    await page.getByRole('row', { name: /patellar.*3\+/ }).waitFor();
  };

  test('refused', async () => {
    const chromium = await openBrowser('refused');
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await page.getByRole('button', { name: 'Listen', exact: true }).click();
      await page
        .getByRole('alert')
        .getByText(/microphone was refused/)
        .waitFor();
      await goesOn(page);
    } finally {
      await chromium.close();
    }
  });

  test('none there', async () => {
    const chromium = await openBrowser('none');
    try {
      const { page } = await openRoom(
        chromium,
        site,
        { voice: 'silent' },
        { permissions: ['microphone'] },
      );
      await page.getByRole('button', { name: 'Listen', exact: true }).click();
      await page
        .getByRole('alert')
        .getByText(/No microphone was found/)
        .waitFor();
      await goesOn(page);
    } finally {
      await chromium.close();
    }
  });

  test('held by another program, then free again', async () => {
    const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await page.evaluate(() => {
        const real = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
        navigator.mediaDevices.getUserMedia = () => {
          navigator.mediaDevices.getUserMedia = real;
          return Promise.reject(new DOMException('busy', 'NotReadableError'));
        };
      });
      await page.getByRole('button', { name: 'Listen', exact: true }).click();
      await page
        .getByRole('alert')
        .getByText(/Another program holds the microphone/)
        .waitFor();
      await page.getByRole('button', { name: 'Listen again' }).click();
      await page.getByRole('button', { name: 'Stop listening' }).waitFor();
      expect(await page.getByRole('alert').textContent()).toBe('');
    } finally {
      await chromium.close();
    }
  });

  test('unplugged in mid exam, and nothing recorded is lost', async () => {
    const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await page.evaluate(() => {
        const real = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
        navigator.mediaDevices.getUserMedia = async (wanted) => {
          const stream = await real(wanted);
          Object.assign(globalThis, { track: stream.getAudioTracks()[0] });
          return stream;
        };
      });
      await page.getByRole('button', { name: 'Listen', exact: true }).click();
      await page.getByRole('button', { name: 'Stop listening' }).waitFor();
      await goesOn(page);
      // A page cannot pull a plug; the browser tells of it by this event.
      await page.evaluate(() => Reflect.get(globalThis, 'track').dispatchEvent(new Event('ended')));
      await page
        .getByRole('alert')
        .getByText(/unplugged/)
        .waitFor();
      await type(page, 'left patellar 2+');
      await page.getByRole('row', { name: /patellar.*2\+.*3\+/ }).waitFor();
      // It is there again (it never went), and nobody has a hand for the button.
      await page.getByRole('button', { name: 'Stop listening' }).waitFor();
    } finally {
      await chromium.close();
    }
  });

  test('a microphone that gives nothing is told', async () => {
    const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await listen(page);
      await page.getByText('I cannot hear you', { exact: true }).waitFor();
    } finally {
      await chromium.close();
    }
  }, 120_000);
});

describe('a recording instead of a microphone', () => {
  test('is heard, and a file that is none is told in one line', async () => {
    const { sound } = await renderedExam(short, 'rms');
    const expected = await byCommandLine(sound);
    expect(expected).toContain('right patellar 3+');
    const chromium = await openBrowser();
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      const choose = page.getByLabel('Hear a WAV recording');
      const wrong = {
        name: 'notes.wav',
        mimeType: 'audio/wav',
        buffer: Buffer.from('not a recording'),
      };
      await choose.setInputFiles(wrong);
      await page
        .getByRole('alert')
        .getByText(/notes\.wav: .*not a WAV/)
        .waitFor({ timeout: 60_000 });
      const buffer = Buffer.from(writeWav(sound));
      await choose.setInputFiles({ name: 'exam.wav', mimeType: 'audio/wav', buffer });
      await page.getByText('Hearing the recording', { exact: true }).waitFor();
      await page.getByText('Ready', { exact: true }).waitFor({ timeout: 120_000 });
      await page.getByRole('region', { name: 'Where the lesion may be' }).waitFor();
      expect(names(await savedRecord(page))).toEqual(expected);
    } finally {
      await chromium.close();
    }
  }, 180_000);
});

test('a model that is missing is told, and typing works', async () => {
  const chromium = await openBrowser();
  try {
    const context = await chromium.browser.newContext();
    await context.route('**/model/**', (route) => route.fulfill({ status: 404, body: 'gone' }));
    const page = await context.newPage();
    await page.goto(site.address);
    await page
      .getByRole('alert')
      .getByText(/speech model: .* is missing/)
      .waitFor({ timeout: 60_000 });
    await type(page, 'right patellar 3+');
    await page.getByRole('row', { name: /patellar.*3\+/ }).waitFor();
  } finally {
    await chromium.close();
  }
}, 120_000);

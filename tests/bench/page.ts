import { parseScript, type Script, scripts } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { openBrowser, openRoom, openSite, type Site } from '../browser/browser.ts';
import { appCode, everyScript, loadedToBeReady } from '../browser/weight.ts';
import { kept } from './rendered.ts';
import { collector, privateMb, processorSeconds } from './renderer.ts';

/** Invented: ten findings, each read back before the next, as an examiner waits for it. */
const paced: Script = parseScript(
  'paced',
  `title: Ten findings at a natural pace
${[
  'right patellar three plus ==> reflex patellar right 3+',
  'left patellar two plus ==> reflex patellar left 2+',
  'right ankle jerk two plus ==> reflex achilles right 2+',
  'left ankle jerk two plus ==> reflex achilles left 2+',
  'right biceps reflex two plus ==> reflex biceps right 2+',
  'left biceps reflex one plus ==> reflex biceps left 1+',
  'right plantar flexor ==> plantar foot right flexor',
  'left plantar extensor ==> plantar foot left extensor',
  'right knee extension five ==> strength knee-extension right 5',
  'left knee extension four ==> strength knee-extension left 4',
]
  .map((line) => `examiner: ${line.replace(' ==>', '\n  ==>')}\npause 4s`)
  .join('\n')}
expect site: hemisphere right
`,
);

/** The page in Chromium: how soon it listens, how soon it answers, what it weighs. */
export async function bench(): Promise<string> {
  const site = await openSite();
  try {
    return [...(await ready(site)), ...(await answers(site)), ...(await heard(site))].join('\n');
  } finally {
    await site.close();
  }
}

async function ready(site: Site): Promise<readonly string[]> {
  const times: number[] = [];
  let loaded: readonly string[] = [];
  for (let run = 0; run < 5; run++) {
    const chromium = await openBrowser();
    try {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
      times.push(await page.evaluate(() => performance.now()));
      loaded = await loadedToBeReady(page);
    } finally {
      await chromium.close();
    }
  }
  const kB = async (names: readonly string[]): Promise<string> =>
    `${((await appCode(names)) / 1000).toFixed(1)} kB`;
  return [
    `page opened to ready to listen: median ${median(times).toFixed(0)} ms of ${times.length} (${times.map((t) => t.toFixed(0)).join(', ')}), fresh profile each`,
    `app code loaded to be ready, gzipped, without engine, model and voice: ${await kB(loaded)}`,
    `every script of the app, most of it fetched after that: ${await kB(await everyScript())}`,
  ];
}

/** Times between marks of the page while a rendered exam is its microphone. */
async function answers(site: Site): Promise<readonly string[]> {
  const { sound } = await kept(paced, 'slt');
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page } = await openRoom(chromium, site, { voice: 'embedded' });
    await page.evaluate(() => {
      const start = AudioBufferSourceNode.prototype.start;
      AudioBufferSourceNode.prototype.start = function (...args) {
        performance.mark('plessor:spoken');
        start.apply(this, args);
      };
    });
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.waitForTimeout((sound.length / 16_000) * 1000 + 3000);
    const marks = await page.evaluate(() =>
      globalThis.marks.all.map(({ name, at }) => ({ name, at })),
    );
    const after = (from: string, to: string): readonly number[] =>
      marks.flatMap(({ name, at }, i) => {
        if (name !== `plessor:${from}`) return [];
        const next = marks.slice(i + 1).find((mark) => mark.name === `plessor:${to}`);
        const again = marks.slice(i + 1).find((mark) => mark.name === `plessor:${from}`);
        return next === undefined || (again !== undefined && again.at < next.at)
          ? []
          : [next.at - at];
      });
    const row = (label: string, times: readonly number[]): string =>
      `${label}: median ${median(times).toFixed(0)} ms, longest ${Math.max(...times).toFixed(0)} ms, of ${times.length}`;
    return [
      row('endpoint to understood on screen', after('silent', 'understood')),
      row('endpoint to the first sound of the read-back', after('silent', 'spoken')),
      row('beginning of speech to first words shown', after('speaking', 'partial')),
    ];
  } finally {
    await chromium.close();
  }
}

/** Memory and processor time of the page's process while exams are heard from recordings, until 200 utterances. */
async function heard(site: Site): Promise<readonly string[]> {
  const chromium = await openBrowser();
  const seen: string[] = [];
  const busy: string[] = [];
  try {
    const { page } = await openRoom(chromium, site, { voice: 'silent' });
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    const collect = await collector(page);
    seen.push(`0: ${await privateMb(chromium, collect)} MB`);
    let utterances = 0;
    for (const script of scripts()) {
      const { sound, placed } = await kept(script, 'rms');
      const buffer = Buffer.from(writeWav(sound));
      const before = await processorSeconds(chromium);
      const choose = page.getByLabel('Hear a WAV recording');
      await choose.setInputFiles({ name: 'exam.wav', mimeType: 'audio/wav', buffer });
      await page.getByText('Hearing the recording', { exact: true }).waitFor();
      await page.getByText('Ready', { exact: true }).waitFor({ timeout: 300_000 });
      const share = (await processorSeconds(chromium)) - before;
      busy.push((share / (sound.length / 16_000)).toFixed(3));
      utterances += placed.length;
      seen.push(`${utterances}: ${await privateMb(chromium, collect)} MB`);
      if (utterances >= 200) break;
    }
  } finally {
    await chromium.close();
  }
  return [
    `private memory of the page's process (an empty page has about 39 MB of it) after so many utterances, garbage collected: ${seen.join('; ')}`,
    `its processor time, all threads, for a second of each of these recordings: ${busy.join(', ')} s`,
  ];
}

function median(times: readonly number[]): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

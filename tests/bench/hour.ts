import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { scripts } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import { openBrowser, openRoom, openSite, type Site, savedRecord } from '../browser/browser.ts';
import { choosePassphrase, closePanel, openExam, unlock } from '../records/steps.ts';
import { option } from './option.ts';
import { kept } from './rendered.ts';
import { collector, privateMb } from './renderer.ts';

/** So long is each recording of the hour. */
const pieceMin = 10;

/**
 * One exam of an hour in the page: heard from recordings as fast as it can be, kept on disk, its
 * memory after every ten minutes; then a part of it as the microphone, in its own time.
 */
export async function bench(args: readonly string[] = []): Promise<string> {
  const minutes = Number(option(args, '--minutes') ?? 60);
  const live = Number(option(args, '--live') ?? 10);
  const site = await openSite();
  try {
    return [
      ...(minutes > 0 ? await recorded(site, minutes) : []),
      ...(live > 0 ? await spoken(site, live) : []),
    ].join('\n');
  } finally {
    await site.close();
  }
}

/** Demo exams one after the other, from `from` minutes on. */
async function exams(from: number, minutes: number): Promise<Sound> {
  const wanted = (from + minutes) * 60 * soundRate;
  const parts: Sound[] = [];
  for (let i = 0, samples = 0; samples < wanted; i++) {
    const script = scripts()[i % scripts().length];
    if (script === undefined) break;
    const { sound } = await kept(script, 'rms');
    samples += sound.length;
    parts.push(sound);
  }
  return joined(parts).slice(from * 60 * soundRate, wanted);
}

async function recorded(site: Site, minutes: number): Promise<readonly string[]> {
  const chromium = await openBrowser();
  const folder = await mkdtemp(join(tmpdir(), 'plessor-hour-'));
  try {
    const { page } = await openRoom(chromium, site, { voice: 'silent' });
    page.setDefaultTimeout(60_000);
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    await choosePassphrase(page);
    await closePanel(page);
    const collect = await collector(page);
    const sizes = [`0 min: ${await privateMb(chromium, collect)} MB`];
    const from = performance.now();
    for (let at = 0; at < minutes; at += pieceMin) {
      const file = join(folder, `${at}.wav`);
      await writeFile(file, writeWav(await exams(at, Math.min(pieceMin, minutes - at))));
      await page.getByLabel('Hear a WAV recording').setInputFiles(file);
      await page.getByText('Hearing the recording', { exact: true }).waitFor();
      await page.getByText('Ready', { exact: true }).waitFor({ timeout: 600_000 });
      sizes.push(
        `${Math.min(minutes, at + pieceMin)} min: ${await privateMb(chromium, collect)} MB`,
      );
    }
    const seconds = (performance.now() - from) / 1000;
    const turns = await counts(page);
    const before = await events(page);
    await page.reload();
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    await unlock(page);
    await openExam(page, '');
    await page.locator('.record tbody tr').first().waitFor();
    const after = await events(page);
    const same = JSON.stringify(before) === JSON.stringify(after);
    return [
      `${minutes} min of exams heard from recordings in ${seconds.toFixed(0)} s, one exam, kept on disk`,
      `utterances begun ${turns.speaking}, ended ${turns.silent}, understood or passed over ${turns.understood}, told as failed ${turns.failed}`,
      `events ${before.length}; read again from disk in a page just opened ${after.length}, ${same ? 'the same' : 'NOT the same'}`,
      `private memory of the page's process, garbage collected: ${sizes.join('; ')}`,
    ];
  } finally {
    await chromium.close();
    await rm(folder, { recursive: true, force: true });
  }
}

const events = async (page: Page): Promise<readonly unknown[]> =>
  ((await savedRecord(page)) as { readonly events: readonly unknown[] }).events;

interface Turns {
  readonly speaking: number;
  readonly silent: number;
  readonly understood: number;
  readonly failed: number;
}
const counts = (page: Page): Promise<Turns> =>
  page.evaluate(() => {
    const of = (name: string) => globalThis.marks.of(name).length;
    return {
      speaking: of('speaking'),
      silent: of('silent'),
      understood: of('understood'),
      failed: of('failed'),
    };
  });

interface Got {
  readonly samples: number;
  /** When the first piece came, ms. */
  readonly since: number;
  readonly lateMs: number;
  readonly rate: number;
}

/** The microphone in its own time, with each read-back spoken: is any sound lost on the way? */
async function spoken(site: Site, minutes: number): Promise<readonly string[]> {
  const sound = await exams(0, minutes);
  const chromium = await openBrowser({ wav: writeWav(sound) });
  try {
    const { page } = await openRoom(chromium, site, { voice: 'embedded' });
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    await page.evaluate(() => {
      const got = { samples: 0, since: 0, lateMs: 0, rate: 0 };
      const Node = AudioWorkletNode;
      Object.assign(globalThis, {
        got,
        AudioWorkletNode: class extends Node {
          constructor(...all: ConstructorParameters<typeof AudioWorkletNode>) {
            super(...all);
            got.rate = all[0].sampleRate;
            this.port.addEventListener('message', ({ data }) => {
              const now = performance.now();
              if (got.since === 0) got.since = now;
              else got.samples += data.sound.length;
              const due = got.since + (got.samples / got.rate) * 1000;
              got.lateMs = Math.max(got.lateMs, now - due);
            });
          }
        },
      });
    });
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.waitForTimeout(minutes * 60_000);
    const { got, gaps } = await page.evaluate(() => {
      const got = Reflect.get(globalThis, 'got') as Got;
      return {
        got,
        gaps: globalThis.marks.of('gap').map(({ at, detail }) => ({
          ms: Number(detail),
          second: (at - got.since) / 1000,
        })),
      };
    });
    const turns = await counts(page);
    return [
      `${minutes} min as the microphone, each read-back spoken: ${(got.samples / got.rate / 60).toFixed(2)} min of sound came, ${gaps.length} gaps${gaps.map(({ ms, second }) => ` (second ${second.toFixed(1)}: ${ms.toFixed(0)} ms)`).join('')}, a piece at most ${got.lateMs.toFixed(0)} ms late; ${turns.speaking} utterances begun`,
    ];
  } finally {
    await chromium.close();
  }
}

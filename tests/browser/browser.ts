import { spawn } from 'node:child_process';
import { existsSync, realpathSync } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
// @ts-expect-error the server is plain JavaScript, so that it runs before anything is built
import { serve } from '../../src/cli/serve.mjs';
import type { Settings } from '../../src/ui/index.ts';

/** The page as `npm run build` left it. */
const built = fileURLToPath(new URL('../../dist/page', import.meta.url));

export interface Site {
  readonly address: string;
  close(): Promise<void>;
}

/** Serves the built page, or another folder, on a free port. */
export async function openSite(folder = built): Promise<Site> {
  if (!existsSync(join(folder, 'index.html'))) {
    throw new Error(`${folder} has no page; run "npm run build" first`);
  }
  const server = serve(realpathSync(folder));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}/`,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

/** What the browser's microphone is: a WAV file, none, or one that the examiner refuses. */
export type Microphone = { readonly wav: Uint8Array } | 'none' | 'refused';

const quiet = ['--no-sandbox', '--disable-gpu', '--mute-audio'];

export interface OpenBrowser {
  readonly browser: Browser;
  close(): Promise<void>;
}

const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** What makes a browser's microphone of a WAV file in this folder, or refuses it. */
async function argsOf(microphone: Microphone, folder: string): Promise<readonly string[]> {
  if (microphone === 'none') return quiet;
  if (microphone === 'refused') {
    return [...quiet, '--use-fake-device-for-media-stream', '--deny-permission-prompts'];
  }
  const file = join(folder, 'microphone.wav');
  await writeFile(file, microphone.wav);
  return [
    ...quiet,
    '--use-fake-ui-for-media-stream',
    '--use-fake-device-for-media-stream',
    `--use-file-for-fake-audio-capture=${file}%noloop`,
  ];
}

export async function openBrowser(microphone: Microphone = 'none'): Promise<OpenBrowser> {
  const folder = await mkdtemp(join(tmpdir(), 'plessor-'));
  const args = await argsOf(microphone, folder);
  const browser = await chromium.launch({ executablePath, args: [...args] });
  return {
    browser,
    async close() {
      await browser.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/**
 * A browser as a user has it: nothing keeps its pages visible or awake, so that its window can be
 * hidden. It has one context, with one page.
 */
export async function openWindow(microphone: Microphone): Promise<OpenBrowser> {
  const folder = await mkdtemp(join(tmpdir(), 'plessor-'));
  const args = await argsOf(microphone, folder);
  const own = ['--headless=new', '--remote-debugging-port=0', `--user-data-dir=${folder}/profile`];
  const child = spawn(executablePath, [...args, ...own, 'about:blank'], { stdio: 'ignore' });
  const ended = new Promise((resolve) => child.once('exit', resolve));
  const close = async (): Promise<void> => {
    child.kill();
    await ended;
    await rm(folder, { recursive: true, force: true, maxRetries: 5 });
  };
  const port = async (): Promise<string> => {
    for (let i = 0; i < 100; i++) {
      const told = await readFile(`${folder}/profile/DevToolsActivePort`, 'utf8').catch(() => '');
      if (told.includes('\n')) return told.split('\n')[0] ?? '';
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    throw new Error('the browser did not start');
  };
  try {
    const address = `http://127.0.0.1:${await port()}`;
    // Without its defaults the driver does not pretend that the page has the focus.
    const browser = await chromium.connectOverCDP(address, { noDefaults: true });
    return { browser, close };
  } catch (why) {
    await close();
    throw why;
  }
}

/** A moment that the page told of (`src/app/mark.ts`), ms from when it opened. */
interface Mark {
  readonly name: string;
  readonly at: number;
  readonly detail: unknown;
}

declare global {
  /** Every mark of a page that a test opened; the page itself keeps none. */
  var marks: {
    readonly all: readonly Mark[];
    readonly of: (name: string) => readonly Mark[];
  };
}

export interface OpenRoom {
  readonly page: Page;
  /** Every address asked for since the page was opened. */
  readonly requests: readonly string[];
  /** Errors and warnings of the page, and breaches of its policy. */
  readonly complaints: readonly string[];
}

/** Opens the exam room with the examiner's settings as the browser would remember them. */
export async function openRoom(
  { browser }: OpenBrowser,
  site: Site,
  settings: Partial<Settings> = {},
  options: BrowserContextOptions = {},
): Promise<OpenRoom> {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    // Keeping 30 MB for later is tried on its own, not at every opening.
    serviceWorkers: 'block',
    ...options,
  });
  return enter(await context.newPage(), site, settings);
}

/** Opens the exam room in a page that is there. */
export async function enter(
  page: Page,
  { address }: Site,
  settings: Partial<Settings> = {},
): Promise<OpenRoom> {
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    const text = message.text();
    if (text.startsWith('Service Worker registration blocked')) return;
    if (['error', 'warning'].includes(message.type())) complaints.push(text);
  });
  await page.addInitScript((kept) => {
    localStorage.setItem('plessor-settings', kept);
    const all: Mark[] = [];
    const of = (name: string) => all.filter((mark) => mark.name === `plessor:${name}`);
    globalThis.marks = { all, of };
    const keep = (entry: PerformanceEntry) =>
      all.push({
        name: entry.name,
        at: entry.startTime,
        detail: (entry as PerformanceMark).detail,
      });
    new PerformanceObserver((list) => list.getEntries().forEach(keep)).observe({ type: 'mark' });
  }, JSON.stringify(settings));
  await page.goto(address);
  await page.getByRole('heading', { name: 'Record' }).waitFor();
  return { page, requests, complaints };
}

/** Opens the microphone once speech can be understood. */
export async function listen(page: Page): Promise<void> {
  // Not the usual wait: a small machine that tests other things beside this loads slowly.
  await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await page.getByText('Listening', { exact: true }).waitFor();
}

/** Types one utterance, as a hand on the keyboard does. */
export async function type(page: Page, ...utterances: readonly string[]): Promise<void> {
  for (const words of utterances) {
    await page.getByLabel('Type instead of speaking').fill(words);
    await page.keyboard.press('Enter');
  }
}

/** The findings in the record that the page would save. */
export async function savedRecord(page: Page): Promise<unknown> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save record (JSON)' }).click(),
  ]);
  const chunks: Buffer[] = [];
  for await (const chunk of await download.createReadStream()) chunks.push(chunk as Buffer);
  return JSON.parse(Buffer.concat(chunks).toString('utf8'));
}

import { existsSync, realpathSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
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

export async function openBrowser(microphone: Microphone = 'none'): Promise<OpenBrowser> {
  const folder = await mkdtemp(join(tmpdir(), 'plessor-'));
  const args = [...quiet];
  if (microphone === 'refused') {
    args.push('--use-fake-device-for-media-stream', '--deny-permission-prompts');
  }
  if (typeof microphone === 'object') {
    const file = join(folder, 'microphone.wav');
    await writeFile(file, microphone.wav);
    args.push(
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-audio-capture=${file}%noloop`,
    );
  }
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args,
  });
  return {
    browser,
    async close() {
      await browser.close();
      await rm(folder, { recursive: true, force: true });
    },
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
  { address }: Site,
  settings: Partial<Settings> = {},
  options: BrowserContextOptions = {},
): Promise<OpenRoom> {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    // Keeping 30 MB for later is tried on its own, not at every opening.
    serviceWorkers: 'block',
    ...options,
  });
  const page = await context.newPage();
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

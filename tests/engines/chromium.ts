import { mkdtemp, rm } from 'node:fs/promises';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { PortError, type PortErrorCode, type Recogniser } from '../../src/ports.ts';
import type { EngineName, EnginePage, Reply } from './page/main.ts';

declare global {
  var engines: EnginePage;
}

/** Engines in Chromium, as the built page has them, spoken to from here. */
export interface EnginesInChromium {
  readonly origin: string;
  /** Every address asked for, by the page and by its workers. */
  readonly requests: readonly string[];
  /** Breaches of the page's policy. */
  readonly refusals: readonly string[];
  /** Names of the databases that the page has. */
  databases(): Promise<readonly (string | undefined)[]>;
  /** @throws PortError as the engine does */
  load(
    engine: EngineName,
    files: Iterable<readonly [path: string, bytes: Uint8Array]>,
    pronunciations?: ReadonlyMap<string, readonly string[]>,
  ): Promise<Recogniser>;
  close(): Promise<void>;
}

/**
 * @param top the project's folder, for callers that were built into one file
 */
export async function enginesInChromium(
  top = new URL('../../', import.meta.url),
): Promise<EnginesInChromium> {
  const from = async (path: string) => import(/* @vite-ignore */ new URL(path, top).href);
  const build: { page(root: string, outDir: string): Promise<void> } =
    await from('src/app/build.mjs');
  const { serve }: { serve(root: string): Server } = await from('src/cli/serve.mjs');
  const out = await mkdtemp(join(tmpdir(), 'plessor-engines-'));
  await build.page(fileURLToPath(new URL('tests/engines/page', top)), out);
  const server = serve(out).listen(0, '127.0.0.1');
  await new Promise((listening) => server.once('listening', listening));
  const origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu'],
  });
  const page = await browser.newPage();
  const requests: string[] = [];
  const refusals: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('console', (message) => {
    if (message.text().includes('Content Security Policy')) refusals.push(message.text());
  });
  await page.goto(`${origin}/`);
  await page.waitForFunction(() => 'engines' in globalThis);

  async function kept<T>(reply: Promise<Reply>): Promise<T> {
    const got = await reply;
    if (got.ok) return got.what as T;
    throw got.code === 'none'
      ? new Error(got.message)
      : new PortError(got.code as PortErrorCode, got.message);
  }

  const base64 = (bytes: Uint8Array): string =>
    Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');

  function recogniser(id: number): Recogniser {
    const call = <T>(method: keyof Recogniser, argument?: unknown): Promise<T> =>
      kept<T>(page.evaluate(([n, m, a]) => engines.call(n, m, a), [id, method, argument] as const));
    return {
      id: 'in-chromium',
      listenFor: (network) => call('listenFor', network),
      start: () => call('start'),
      feed: (sound) =>
        call('feed', base64(new Uint8Array(sound.buffer, sound.byteOffset, sound.byteLength))),
      finish: () => call('finish'),
      reconsider: (networks) => call('reconsider', networks),
      abort: () => call('abort'),
      forget: () => call('forget'),
      close: () => call('close'),
    };
  }

  return {
    origin,
    requests,
    refusals,
    databases: () =>
      page.evaluate(async () => (await indexedDB.databases()).map(({ name }) => name)),
    async load(engine, files, pronunciations = new Map()) {
      const packed = [...files].map(([path, bytes]) => [path, base64(bytes)] as const);
      const id = await kept<number>(
        page.evaluate(([name, all, sounds]) => engines.load(name, all, sounds), [
          engine,
          packed,
          [...pronunciations],
        ] as const),
      );
      return recogniser(id);
    },
    async close() {
      await browser.close();
      server.close();
      await rm(out, { recursive: true });
    },
  };
}

import { mkdtemp, rm } from 'node:fs/promises';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { EnginePage } from './page/main.ts';
import { packed, tinyVosk } from './voskModel.ts';
import { tinyWhisper } from './whisperModel.ts';

declare global {
  var engines: EnginePage;
}

const { page: buildPage } = (await import(
  new URL('../../src/app/build.mjs', import.meta.url).href
)) as { page(root: string, outDir: string): Promise<void> };
const { serve } = (await import(new URL('../../src/cli/serve.mjs', import.meta.url).href)) as {
  serve(root: string): Server;
};

let out: string;
let server: Server;
let origin: string;
let browser: Browser;
let page: Page;
const requests: string[] = [];
const refusals: string[] = [];

beforeAll(async () => {
  out = await mkdtemp(join(tmpdir(), 'plessor-engines-'));
  await buildPage(fileURLToPath(new URL('page', import.meta.url)), out);
  server = serve(out).listen(0, '127.0.0.1');
  await new Promise((listening) => server.once('listening', listening));
  origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu'],
  });
  page = await browser.newPage();
  page.on('request', (request) => requests.push(request.url()));
  page.on('console', (message) => {
    if (message.text().includes('Content Security Policy')) refusals.push(message.text());
  });
  await page.goto(`${origin}/`);
  await page.waitForFunction(() => 'engines' in globalThis);
});
afterEach(() => page?.evaluate(() => engines.close()));
afterAll(async () => {
  await browser?.close();
  server?.close();
  if (out !== undefined) await rm(out, { recursive: true });
});

type Files = Iterable<readonly [string, Buffer]>;
const load = (engine: 'vosk' | 'whisper', files: Files): Promise<string> =>
  page.evaluate(([name, packed]) => engines.load(name, packed), [
    engine,
    [...files].map(([path, bytes]) => [path, bytes.toString('base64')] as const),
  ] as const);

describe('Vosk in Chromium, with a model made for this test', () => {
  const whole = packed(tinyVosk);
  const changedIn = (path: string, content: string | undefined): Buffer => {
    const files = new Map(tinyVosk);
    if (content === undefined) files.delete(path);
    else files.set(path, Buffer.from(content));
    return packed(files);
  };

  test('goes through the real unpacking, loading and decoding to words in the grammar', async () => {
    expect(await load('vosk', [['model.tar.gz', whole]])).toBe('loaded');
    const right = ['right ankle absent', 'left ankle absent'];
    const first = await page.evaluate((said) => engines.hear(said), right);
    expect(first).toMatchObject({
      soFar: ['right', 'ankle', 'absent'],
      frames: 100,
      best: { words: [{ word: 'right' }, { word: 'ankle' }, { word: 'absent' }] },
    });
    expect(await page.evaluate((said) => engines.hear(said), right)).toEqual(first);
  });

  test.each<[string, Buffer]>([
    ['missing', Buffer.alloc(0)],
    ['a web page', Buffer.from('<!doctype html><p>Not found')],
    ['cut short', whole.subarray(0, whole.length >> 1)],
    ['no archive', gzipSync(Buffer.alloc(5000, 7))],
    ['without its network', changedIn('am/final.mdl', undefined)],
    ['with a damaged network', changedIn('am/final.mdl', '<TransitionModel>\n<Topology>\n')],
    ['with a web page in place of its graph', changedIn('graph/HCLG.fst', '<!doctype html>')],
  ])('%s it is refused in one line', async (_what, model) => {
    const told = await load('vosk', [['model.tar.gz', model]]);
    expect(told).toMatch(
      /^corrupt: Vosk refused its model \(.*\); remove the model and add it again$/,
    );
  });

  test('leaves no second copy of a model behind', async () => {
    await expect
      .poll(async () => (await page.evaluate(() => indexedDB.databases())).map(({ name }) => name))
      .not.toContain('/vosk');
  });
});

describe('Whisper in Chromium, with a model made for this test', () => {
  const without = (path: string): Files => [...tinyWhisper].filter(([name]) => name !== path);
  const changed = (path: string, change: (bytes: Buffer) => Buffer): Files =>
    [...tinyWhisper].map(([name, bytes]) => [name, name === path ? change(bytes) : bytes] as const);
  const encoder = 'onnx/encoder_model_quantized.onnx';
  const html = (): Buffer => Buffer.from('<!doctype html><p>Not found');

  test('goes from its files through the real loading and decoding to words in the grammar', async () => {
    expect(await load('whisper', tinyWhisper)).toBe('loaded');
    const heard = await page.evaluate(() =>
      engines.hear(['left ankle absent', 'right ankle absent']),
    );
    expect(heard).toMatchObject({
      soFar: [],
      frames: 100,
      best: { words: [{ word: 'right' }, { word: 'ankle' }, { word: 'absent', endMs: 1000 }] },
    });
    expect(await page.evaluate(() => engines.hear(['say again', 'left biceps']))).toMatchObject({
      frames: 100,
    });
  }, 120_000);

  test.each<[string, Files, RegExp]>([
    ['config.json missing', without('config.json'), /^not-found: Whisper: config\.json is missing/],
    [
      'its encoder missing',
      without(encoder),
      /^corrupt: Whisper refused its model \(.*encoder_model/,
    ],
    [
      'its encoder cut short',
      changed(encoder, (b) => b.subarray(0, 40)),
      /^corrupt: Whisper refused/,
    ],
    ['a web page in place of its encoder', changed(encoder, html), /^corrupt: Whisper refused/],
    ['a web page in place of its tokenizer', changed('tokenizer.json', html), /^corrupt: Whisper/],
    [
      'a model of another kind',
      changed('config.json', () => Buffer.from('{"model_type":"abacus"}')),
      /^corrupt: Whisper refused its model \(.*abacus/,
    ],
  ])('with %s it is refused in one line', async (_what, files, message) => {
    const told = await load('whisper', files);
    expect(told).toMatch(message);
    expect(told).not.toContain('\n');
  });
});

test('nothing was asked of any other address, and no policy was broken', () => {
  const outside = requests.filter((url) => !url.startsWith(origin) && !url.startsWith('blob:'));
  expect(requests.length).toBeGreaterThan(3);
  expect(outside).toEqual([]);
  expect(refusals).toEqual([]);
});

import { mkdtemp, readFile, rm } from 'node:fs/promises';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

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
const complaints: string[] = [];

beforeAll(async () => {
  out = await mkdtemp(join(tmpdir(), 'plessor-page-'));
  await buildPage(fileURLToPath(new URL('page', import.meta.url)), out);
  server = serve(out).listen(0, '127.0.0.1');
  await new Promise((listening) => server.once('listening', listening));
  origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--autoplay-policy=no-user-gesture-required'],
  });
  page = await browser.newPage();
  page.on('request', (request) => requests.push(request.url()));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`${message.text()} ${message.location().url}`);
  });
  await page.goto(`${origin}/`);
  await page.waitForFunction(() => 'speak' in globalThis);
});

afterAll(async () => {
  await browser?.close();
  server?.close();
  if (out !== undefined) await rm(out, { recursive: true });
});

describe('a built page, served, in a browser', () => {
  test('speaks on the device where the system has no local voice', async () => {
    const spoken = await page.evaluate(() =>
      globalThis.speak('Right patellar, three plus. Left patellar, two plus.'),
    );
    if (!spoken.localSystemVoice) {
      expect(spoken.by).toBe('flite:slt');
      expect(spoken.soundMs).toBeGreaterThan(2000);
      // It is done when the sound has left, not when it was handed over.
      expect(spoken.endedMs).toBeGreaterThan(spoken.soundMs * 0.95);
    }
  });

  test('stops in the middle of a sentence when told to', async () => {
    const afterStop = await page.evaluate(() =>
      globalThis.stopEarly(
        'Sensation to light touch over the left L five dermatome, reduced.',
        600,
      ),
    );
    // The sentence lasts over four seconds; unstopped it would go on for more than three.
    expect(afterStop).toBeLessThan(2000);
  });

  test('asks for nothing outside its own origin, and its policy is not broken', async () => {
    expect(requests.length).toBeGreaterThan(3);
    expect(requests.filter((url) => !url.startsWith(`${origin}/`))).toEqual([]);
    expect(complaints.filter((text) => !text.endsWith('/favicon.ico'))).toEqual([]);
  });

  test('may not connect elsewhere even when it tries', async () => {
    const refused = await page.evaluate(async () => {
      const violation = new Promise<string>((resolve) => {
        document.addEventListener('securitypolicyviolation', (event) =>
          resolve(event.effectiveDirective),
        );
      });
      await fetch('https://example.org/').catch(() => undefined);
      return violation;
    });
    expect(refused).toBe('connect-src');
  });

  test('carries its policy in the page itself, for any other server', async () => {
    const html = (await readFile(join(out, 'index.html'), 'utf8')).replaceAll('&#39;', "'");
    expect(html).toMatch(/<meta http-equiv="Content-Security-Policy" content="default-src 'self';/);
    expect(html).not.toMatch(/<script(?![^>]*\ssrc=)/);
  });

  test('brings the licences of what it ships', async () => {
    const notices = await (await fetch(`${origin}/notices.txt`)).text();
    expect(notices).toContain('Language Technologies Institute');
    expect(notices).toContain('ALPHA CEPHEI INC.');
  });

  test('brings the recogniser its model', async () => {
    const mdef = await fetch(`${origin}/model/en-us/mdef`);
    expect(mdef.status).toBe(200);
    expect(Number(mdef.headers.get('content-length'))).toBeGreaterThan(1000);
  });
});

import { existsSync } from 'node:fs';
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Clip, checkReview, partsOf, writePrint } from '../../src/report/index.ts';
import { chainOf, makeIdentity, sign, writePack } from '../../src/store/index.ts';
import { rootExam } from '../report/exams.ts';
import {
  executablePath,
  openVaultPage,
  type RunningBrowser,
  servePage,
  settled,
  startBrowser,
} from './browser.ts';
import { bundled } from './bundle.ts';
import { firstOnes } from './events.ts';

/** Trusted as if it came over TLS, too; nothing but the test answers for it. */
const fullOrigin = 'http://full.localhost';

/** A full run is 200; it takes more than a minute, so the suite makes do with less. */
const kills = Number(process.env.PLESSOR_KILLS ?? 25);

describe.skipIf(!existsSync(executablePath))('the vault in Chromium', () => {
  let script: string;
  let profile: string;
  let browser: RunningBrowser;
  let context: BrowserContext;
  let tell: (n: number) => void = () => {};

  const start = async () => {
    browser = await startBrowser(profile);
    context = browser.context;
    await servePage(context, script);
    await context.exposeFunction('tell', (n: number) => tell(n));
  };
  const open = (from?: string): Promise<Page> => openVaultPage(context, from);
  const load = (page: Page, exam: string) =>
    page.evaluate((id) => window.vaultPage.load(id), exam) as Promise<readonly unknown[]>;

  /** Appends in a page until `kill` strikes, somewhere in mid exam; gives the last event told of. */
  const killedInMidExam = async (exam: string, kill: (page: Page) => Promise<unknown>) => {
    const page = await open();
    let last = -1;
    const begun = new Promise<void>((resolve) => {
      tell = (n) => {
        last = n;
        resolve();
      };
    });
    page.evaluate((id) => window.vaultPage.examine(id), exam).catch(() => {});
    await begun;
    await new Promise((resolve) => setTimeout(resolve, Math.random() * 30));
    await kill(page);
    tell = () => {};
    return last;
  };

  beforeAll(async () => {
    script = await bundled('./page.ts');
    profile = await mkdtemp(join(tmpdir(), 'plessor-profile-'));
    await start();
    const page = await open();
    await load(page, 'none');
    await page.close();
    await settled(profile);
  }, 120_000);
  afterAll(async () => {
    await browser.kill();
    await rm(profile, { recursive: true, force: true });
  });

  test('loses no finding whose read-back had begun when its tab crashes', async () => {
    for (let i = 0; i < kills; i++) {
      const exam = `crash-${i >> 2}`;
      const last = await killedInMidExam(exam, async (page) => {
        const session = await context.newCDPSession(page);
        const crashed = page.waitForEvent('crash');
        session.send('Page.crash').catch(() => {});
        await crashed;
        await page.close();
      });
      const reader = await open();
      const events = await load(reader, exam);
      expect(events.length).toBeGreaterThan(last);
      expect(events).toEqual(firstOnes(events.length));
      await reader.close();
    }
  }, 400_000);

  test('loses none when the whole browser is killed', async () => {
    for (let i = 0; i < 5; i++) {
      const exam = `killed-${i}`;
      const last = await killedInMidExam(exam, () => browser.kill());
      await start();
      const reader = await open();
      const events = await load(reader, exam);
      expect(events.length).toBeGreaterThan(last);
      expect(events).toEqual(firstOnes(events.length));
    }
  }, 120_000);

  test('says plainly that the browser lost its database, and keeps what comes after', async () => {
    const page = await open();
    expect(await page.evaluate(() => window.vaultPage.append('before', 0))).toBe('kept');
    await browser.kill();
    const database = join(profile, 'Default/IndexedDB/http_localhost_0.indexeddb.leveldb');
    for (const file of await readdir(database)) {
      if (/^(MANIFEST|CURRENT)/.test(file)) await writeFile(join(database, file), 'damaged');
    }
    await start();
    const next = await open();
    expect(await load(next, 'before')).toEqual([]);
    expect(await next.evaluate(() => window.vaultPage.told())).toEqual([
      expect.stringContaining('lost its database'),
    ]);
    expect(await next.evaluate(() => window.vaultPage.append('after', 0))).toBe('kept');
  }, 60_000);

  test('says plainly that the disk is full, goes on, and is whole once there is room', async () => {
    const page = await open(fullOrigin);
    const session = await context.newCDPSession(page);
    const append = (n: number) => page.evaluate((k) => window.vaultPage.append('full', k), n);
    await session.send('Storage.overrideQuotaForOrigin', { origin: fullOrigin, quotaSize: 1 });
    expect(await append(0)).toMatch(/^full: .*goes on in memory/);
    expect(await append(1)).toMatch(/^full: /);
    await session.send('Storage.overrideQuotaForOrigin', { origin: fullOrigin });
    expect(await append(2)).toBe('kept');
    expect(await load(page, 'full')).toEqual(firstOnes(3));
  }, 60_000);

  test('lets two tabs on one exam lose nothing', async () => {
    const [one, two] = [await open(), await open()];
    const append = (page: Page, n: number) =>
      page.evaluate((k) => window.vaultPage.append('shared', k), n);
    expect(await append(one, 0)).toBe('kept');
    await load(two, 'shared');
    expect(await append(two, 1)).toBe('kept');
    expect(await append(one, 1)).toMatch(/^in-use: /);
    expect(await load(two, 'shared')).toEqual(firstOnes(2));
  }, 60_000);

  test('opens a signed pack from another device, sound and all', async () => {
    const wav = Buffer.from(crypto.getRandomValues(new Uint8Array(64_000))).toString('base64');
    const clip: Clip = { kind: 'clip', entries: [], words: 'said', readBack: 'read', wav };
    const parts = partsOf(rootExam, [clip]);
    const hash = (await chainOf(parts.map((part) => JSON.stringify(part)))).at(-1) ?? '';
    const identity = await makeIdentity();
    const signature = await sign(hash, identity, 'Trainee', '2026-11-25T12:00:00Z');
    const bytes = await writePack([...parts, signature], 'tendon hammer');
    const page = await open();
    const pack = await page.evaluate(
      ([text = '', word = '']) => window.vaultPage.openPack(text, word),
      [Buffer.from(bytes).toString('base64'), 'tendon hammer'],
    );
    expect(pack.faults).toEqual([]);
    const review = checkReview(pack.parts);
    if (!review.ok) throw new Error(review.fault.message);
    expect(review.value.kept.record).toEqual(rootExam.record);
    expect(review.value.clips[0]?.wav).toBe(wav);
    expect(review.value.signatures).toEqual([signature]);
  }, 60_000);

  test('shows a print with hostile labels as text, and runs nothing of it', async () => {
    const page = await context.newPage();
    let ran = false;
    await page.exposeFunction('ran', () => {
      ran = true;
    });
    const foul = '"><img src=x onerror=ran()><script>ran()</script>';
    await page.setContent(
      writePrint({ ...rootExam, patientLabel: foul, examiner: foul, notExamined: [foul] }),
    );
    expect(await page.locator('dd').first().textContent()).toBe(foul);
    expect(await page.locator('img, script').count()).toBe(0);
    expect(ran).toBe(false);
    expect((await page.pdf({ format: 'A4' })).subarray(0, 5).toString()).toBe('%PDF-');
  }, 60_000);
});

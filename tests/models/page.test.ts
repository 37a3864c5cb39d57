import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:https';
import type { AddressInfo } from 'node:net';
import { basename } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { modelOf } from '../../src/app/models/manifest.ts';
import { openSite, type Site } from '../browser/browser.ts';
import { selfSigned } from './certificate.ts';

/** What a publisher's server does with the next requests for a file's bytes from a place on. */
type Manner = (file: string, bytes: Buffer, from: number) => Behaviour | Promise<Behaviour>;
interface Behaviour {
  readonly status?: number;
  readonly type?: string;
  readonly body: Buffer;
  /** After the body: the connection is cut, or left open without a word. */
  readonly after?: 'cut' | 'hang';
}

const wide = modelOf('pocketsphinx-en-us');
const folder = wide.debian?.folder ?? '';
const here = existsSync(folder);
const whole: Manner = (_file, bytes, from) => ({
  status: from > 0 ? 206 : 200,
  body: bytes.subarray(from),
});

let site: Site;
let publisher: Server;
let browser: Browser;
let manner: Manner = whole;
const files = new Map<string, Buffer>();
/** Every request that reached the publisher: its path, and the place asked for. */
const asked: string[] = [];
const sentAlong: (string | undefined)[] = [];

beforeAll(async () => {
  site = await openSite();
  for (const { path } of wide.files) {
    files.set(path, here ? await readFile(`${folder}/${path}`) : Buffer.alloc(1000));
  }
  files.set('vosk-model-small-en-us-0.15.tar.gz', Buffer.from('bytes that nobody has a hash of'));
  publisher = createServer(selfSigned(), async (request, response) => {
    const file = basename(request.url ?? '');
    const from = Number(/bytes=(\d+)-/.exec(request.headers.range ?? '')?.[1] ?? 0);
    asked.push(`${file} ${from}`);
    sentAlong.push(request.headers.cookie, request.headers.referer);
    const answer = await manner(file, files.get(file) ?? Buffer.alloc(0), from);
    response.writeHead(answer.status ?? 200, {
      'access-control-allow-origin': '*',
      'content-type': answer.type ?? 'application/octet-stream',
    });
    response.write(answer.body, () => {
      if (answer.after === 'cut') setTimeout(() => response.destroy(), 200);
      else if (answer.after === undefined) response.end();
    });
  }).listen(0, '127.0.0.1');
  await new Promise((resolve) => publisher.once('listening', resolve));
  const at = `127.0.0.1:${(publisher.address() as AddressInfo).port}`;
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      `--host-resolver-rules=MAP raw.githubusercontent.com ${at}, MAP ccoreilly.github.io ${at}, MAP elsewhere.example ${at}`,
    ],
  });
});
afterAll(async () => {
  await browser?.close();
  publisher?.closeAllConnections();
  publisher?.close();
  await site?.close();
});
afterEach(async () => {
  manner = whole;
  asked.length = 0;
  sentAlong.length = 0;
  for (const context of browser.contexts()) await context.close();
});

async function opened(
  before?: () => void,
): Promise<{ readonly page: Page; readonly requests: string[] }> {
  const context = await browser.newContext({ ignoreHTTPSErrors: true });
  const page = await context.newPage();
  const requests: string[] = [];
  page.on('request', (request) => {
    const outside = !request.url().startsWith(site.address) && !request.url().startsWith('blob:');
    if (outside) requests.push(request.url());
  });
  await page.addInitScript(() => {
    localStorage.setItem('plessor-settings', JSON.stringify({ voice: 'silent' }));
  });
  if (before !== undefined) await context.addInitScript(before);
  await page.goto(site.address);
  await openList(page);
  return { page, requests };
}

async function openList(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Settings' }).click();
  await page.getByRole('button', { name: 'Choose what hears' }).click();
  await page.getByRole('dialog', { name: 'Recognition models' }).waitFor();
}

const card = (page: Page, name = wide.name) => page.getByRole('region', { name, exact: true });
const button = (page: Page, name: RegExp, model = wide.name) =>
  card(page, model).getByRole('button', { name });
/** A small machine that tests other things beside this is slow. */
const patient = { timeout: 30_000 };
const ready = (page: Page) => page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });

describe('the list of models', () => {
  test('says what each costs before anything is fetched', async () => {
    const { page, requests } = await opened();
    const told = (await card(page).textContent()) ?? '';
    expect(told).toMatch(/not installed/);
    expect(told).toMatch(/en-US · 6\.6 MB · about \d+ MB of memory/);
    expect(told).toMatch(/from raw\.githubusercontent\.com/);
    expect(told).toMatch(/Licence: BSD-2-Clause\. Copyright 2015 Alpha Cephei/);
    await button(page, /^Add, 6\.6 MB/).waitFor();
    expect(await card(page, modelOf('soundswallower-en-us').name).textContent()).toMatch(
      /comes with the program, hears now/,
    );
    expect(await card(page, modelOf('vosk-small-en-us').name).textContent()).toMatch(
      /Not measured here/,
    );
    expect(requests).toEqual([]);
    expect(asked).toEqual([]);
  });
});

describe.skipIf(!here)(
  here ? 'the wide-band model' : `the wide-band model: SKIPPED, ${folder} is not here`,
  () => {
    test('comes with its progress shown, hears, and hears without a network afterwards', async () => {
      manner = (file, bytes, from) =>
        file === 'sendump' && from === 0
          ? { body: bytes.subarray(0, 1_000_000), after: 'hang' }
          : whole(file, bytes, from);
      const { page, requests } = await opened();
      await button(page, /^Add, 6/).click();
      const progress = card(page).getByRole('progressbar');
      await expect
        .poll(() => progress.getAttribute('value').then(Number), patient)
        .toBeGreaterThan(4_700_000);
      expect(await progress.getAttribute('max')).toBe(String(wide.bytes));
      await card(page)
        .getByText(/4\.8 MB of 6\.6 MB/)
        .waitFor();
      manner = whole;
      // Where the button to add was is the one to stop, and the focus is still there.
      await page.keyboard.press('Enter');
      await card(page)
        .getByRole('alert')
        .getByText(/was stopped.*kept.*goes on from there/)
        .waitFor();
      await button(page, /^Go on adding, 1\.8 MB left/).click();
      await button(page, /^Use/).click();
      await expect.poll(() => card(page).textContent(), patient).toMatch(/installed, hears now/);
      // Whole files are not asked for again, the broken one from where it broke.
      const sendump = asked.filter((one) => one.startsWith('sendump'));
      expect(sendump).toEqual(['sendump 0', expect.stringMatching(/^sendump [1-9]/)]);
      expect(asked.filter((one) => one.startsWith('mdef'))).toEqual(['mdef 0']);
      const addresses = new Set(wide.files.map(({ address }) => address));
      expect(new Set(requests)).toEqual(addresses);
      expect(sentAlong.every((one) => one === undefined)).toBe(true);
      await page.keyboard.press('Escape');
      await ready(page);

      requests.length = 0;
      asked.length = 0;
      await page.reload();
      await ready(page);
      await openList(page);
      await expect.poll(() => card(page).textContent(), patient).toMatch(/installed, hears now/);
      expect(requests).toEqual([]);
      expect(asked).toEqual([]);

      const kept = () =>
        page.evaluate(
          () =>
            new Promise<number>((resolve, reject) => {
              const open = indexedDB.open('plessor-models');
              open.onerror = () => reject(open.error);
              open.onsuccess = () => {
                const count = open.result.transaction('pieces').objectStore('pieces').count();
                count.onsuccess = () => resolve(count.result);
              };
            }),
        );
      expect(await kept()).toBeGreaterThan(5);
      await button(page, /^Remove, frees 6\.6 MB/).click();
      await expect.poll(() => card(page).textContent(), patient).toMatch(/not installed/);
      expect(await kept()).toBe(0);
      expect(await card(page, modelOf('soundswallower-en-us').name).textContent()).toMatch(
        /hears now/,
      );
    }, 120_000);

    test('a connection that breaks is told, what came is kept, and it goes on', async () => {
      manner = (_file, bytes, from) => ({
        status: from > 0 ? 206 : 200,
        body: bytes.subarray(from, from + 700_000),
        after: 'cut',
      });
      const { page } = await opened();
      await button(page, /^Add, 6/).click();
      const alert = card(page).getByRole('alert');
      await alert.getByText(/cannot be reached; what has come is kept/).waitFor();
      expect(await card(page).textContent()).toMatch(/not installed/);
      manner = whole;
      await button(page, /^Go on adding/).click();
      await button(page, /^Use/).waitFor();
      expect(await alert.textContent()).toBe('');
      expect(asked[1]).toMatch(/^mdef [1-9]/);
    });

    test('comes from chosen files, without a network', async () => {
      const { page, requests } = await opened();
      const choose = card(page).getByLabel('Add from files');
      await choose.setInputFiles([`${folder}/README`]);
      await card(page).getByRole('alert').getByText('mdef is not among the files chosen').waitFor();
      await choose.setInputFiles(wide.files.map(({ path }) => `${folder}/${path}`));
      await button(page, /^Use/).waitFor();
      expect(requests).toEqual([]);
    });

    test('damaged since, it is told, and the embedded one hears instead', async () => {
      const { page } = await opened();
      const choose = card(page).getByLabel('Add from files');
      await choose.setInputFiles(wide.files.map(({ path }) => `${folder}/${path}`));
      await button(page, /^Use/).click();
      await page.evaluate(
        () =>
          new Promise<void>((resolve, reject) => {
            const open = indexedDB.open('plessor-models');
            open.onsuccess = () => {
              const change = open.result.transaction('pieces', 'readwrite');
              const key = ['pocketsphinx-en-us', 1, 'mdef', 0];
              change.objectStore('pieces').put(new Uint8Array(1000), key);
              change.oncomplete = () => resolve();
              change.onabort = () => reject(change.error);
            };
          }),
      );
      await page.reload();
      await page
        .getByRole('alert')
        .getByText(/mdef of Wide band \(PocketSphinx\) is damaged; remove it and add it again/)
        .first()
        .waitFor({ timeout: 60_000 });
      await ready(page);
      await openList(page);
      await expect
        .poll(() => card(page, modelOf('soundswallower-en-us').name).textContent(), patient)
        .toMatch(/hears now/);
      expect(await card(page).getByRole('alert').textContent()).toMatch(/is damaged/);
    });

    test('more than the browser has room for is refused before it begins', async () => {
      const { page } = await opened(() => {
        navigator.storage.estimate = async () => ({ quota: 2_000_000, usage: 500_000 });
      });
      await button(page, /^Add, 6/).click();
      await card(page)
        .getByRole('alert')
        .getByText(/needs 6\.6 MB more than the 1\.5 MB that are free; make room/)
        .waitFor();
      expect(asked).toEqual([]);
    });

    test('room that ends on the way is told, and with room again it goes on', async () => {
      const { page } = await opened();
      const devtools = await page.context().newCDPSession(page);
      const { origin } = new URL(site.address);
      const quota = (quotaSize?: number) =>
        devtools.send('Storage.overrideQuotaForOrigin', {
          origin,
          ...(quotaSize === undefined ? {} : { quotaSize }),
        });
      // The estimate does not know of it, as where other pages fill the disk meanwhile.
      await quota(2_000_000);
      await button(page, /^Add, 6/).click();
      await card(page)
        .getByRole('alert')
        .getByText(/has no more room for this page; make room/)
        .waitFor();
      await quota();
      // How much fitted before is the browser's affair.
      await button(page, /^(Add, |Go on adding)/).click();
      await button(page, /^Use/).waitFor();
    });
  },
);

describe('what is not the model is refused', () => {
  test.each<[string, Manner, RegExp]>([
    [
      'a web page',
      () => ({ type: 'text/html', body: Buffer.from('<!doctype html><p>Sign in to this network') }),
      /raw\.githubusercontent\.com answers with a web page in place of mdef; nothing was installed/,
    ],
    [
      'other bytes',
      (file) => ({
        body: Buffer.alloc(wide.files.find(({ path }) => path === file)?.bytes ?? 0, 7),
      }),
      /mdef of pocketsphinx-en-us is not the file it should be \(its SHA-256 is [0-9a-f]{64}\)/,
    ],
    ['nothing', () => ({ status: 404, body: Buffer.from('none') }), /has no mdef \(status 404\)/],
  ])('%s', async (_what, wrong, message) => {
    manner = wrong;
    const { page } = await opened();
    await button(page, /^Add, 6/).click();
    await card(page).getByRole('alert').getByText(message).waitFor();
    await button(page, /^Add, 6/).waitFor();
    expect(await card(page).textContent()).toMatch(/not installed/);
  });

  test('a model without a known hash waits until the user has compared it', async () => {
    const { name } = modelOf('vosk-small-en-us');
    const { page } = await opened();
    expect(await card(page, name).textContent()).toMatch(/you will be asked to compare/);
    await button(page, /^Add, 41/, name).click();
    await card(page, name)
      .getByText(/Compare each with what the publisher says/)
      .waitFor();
    // sha256sum of "bytes that nobody has a hash of"
    const { createHash } = await import('node:crypto');
    const sha256 = createHash('sha256').update('bytes that nobody has a hash of').digest('hex');
    await card(page, name).getByText(sha256).waitFor();
    await button(page, /^They differ: discard/, name).click();
    await button(page, /^Add, 41/, name).click();
    await button(page, /^They are the same: install/, name).click();
    await button(page, /^Remove/, name).waitFor();
  });
});

describe('nothing leaves the page but for the address that was chosen', () => {
  /** The directive that a fetch breaks, in a page of this site; nothing when it is let through. */
  const refusedIn = (page: Page, address: string): Promise<string | undefined> =>
    page.evaluate(async (url) => {
      const violation = new Promise<string>((resolve) => {
        document.addEventListener('securitypolicyviolation', ({ effectiveDirective }) =>
          resolve(effectiveDirective),
        );
      });
      const answered = fetch(url).then(
        () => undefined,
        () => violation,
      );
      return answered;
    }, address);

  test('the exam page may not connect to a publisher', async () => {
    const { page } = await opened();
    expect(await refusedIn(page, wide.files[0]?.address ?? '')).toBe('connect-src');
    expect(asked).toEqual([]);
  });

  test('the page that fetches may, for the files of its own model and nothing beside', async () => {
    const { page } = await opened();
    await page.goto(`${site.address}fetch-pocketsphinx-en-us.html`);
    const own = wide.files[0]?.address ?? '';
    expect(await refusedIn(page, own)).toBeUndefined();
    const other = modelOf('vosk-small-en-us').files[0]?.address ?? '';
    for (const address of [
      own.replace('mdef', 'noisedict'),
      `${new URL(own).origin}/`,
      other,
      'https://elsewhere.example/',
    ]) {
      expect(await refusedIn(page, address), address).toBe('connect-src');
    }
    expect(asked).toEqual(['mdef 0']);
  });

  test('opened by itself that page fetches nothing', async () => {
    const { page } = await opened();
    await page.goto(`${site.address}fetch-pocketsphinx-en-us.html`);
    await page.evaluate((model) => postMessage({ is: 'stop', model }, location.origin), wide.id);
    await page.waitForLoadState('networkidle');
    expect(asked).toEqual([]);
  });
});

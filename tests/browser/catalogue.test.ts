import { cp, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
// @ts-expect-error the build is plain JavaScript, so that it runs before anything is built
import { page as buildPage } from '../../src/app/build.mjs';
import { english as grammar } from '../../src/app/language.ts';
import { models } from '../../src/app/models/manifest.ts';
import { modelFaultMessages } from '../../src/app/models/messages.ts';
import { audioMessages } from '../../src/audio/messages.ts';
import { engineMessages } from '../../src/engines/messages.ts';
import { interpret } from '../../src/interpret/index.ts';
import { formFaultMessages } from '../../src/report/messages/faults.ts';
import { storeMessages } from '../../src/store/messages.ts';
import { english, modelMessages, recordsMessages } from '../../src/ui/index.ts';
import { outside } from '../language/bracketed.ts';
import { passphrase } from '../records/steps.ts';
import { type OpenBrowser, openBrowser, openRoom, openSite, type Site, type } from './browser.ts';

const project = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

let folder: string;
let site: Site;
let chromium: OpenBrowser;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-catalogue-'));
  for (const part of ['src', 'grammars', 'demo-audio-scripts', 'models-manifest', 'package.json']) {
    await cp(project(part), join(folder, part), { recursive: true });
  }
  await symlink(project('node_modules'), join(folder, 'node_modules'));
  const sources = await readdir(join(folder, 'src'), { recursive: true });
  let tables = 0;
  for (const name of sources.filter((one) => /messages/i.test(one) && one.endsWith('.ts'))) {
    const file = join(folder, 'src', name);
    const text = await readFile(file, 'utf8');
    const [before = '', table] = text.split(/(?<=Record<LanguageId, [^=]*= \{\s*en: )/);
    if (table === undefined) continue;
    const made = table.replace(/^\w+/, 'inBrackets($&)');
    await writeFile(
      file,
      `import { bracketed as inBrackets } from '${project('tests/language/bracketed.ts')}';\n${before}${made}`,
    );
    tables += 1;
  }
  expect(tables).toBeGreaterThan(7);
  await buildPage(join(folder, 'src/app'), join(folder, 'page'));
  site = await openSite(join(folder, 'page'));
  chromium = await openBrowser();
}, 180_000);
afterAll(async () => {
  await chromium?.close();
  await site?.close();
  await rm(folder, { recursive: true, force: true });
});

/** What was heard or may be said, in the language that is spoken to the page; and what is no text. */
const spoken = 'script, style, noscript, q, .answers, .phrases';

/** Texts and names on the page, or what is left of them, that stand in no catalogue. */
async function strangers(page: Page): Promise<readonly string[]> {
  const texts = await page.evaluate((apart) => {
    const found: string[] = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node !== null; node = walk.nextNode()) {
      if (node.parentElement?.closest(apart) === null) found.push(node.textContent ?? '');
    }
    for (const name of ['aria-label', 'placeholder', 'title', 'alt']) {
      for (const element of document.querySelectorAll(`[${name}]`)) {
        if (element.closest(apart) === null) found.push(element.getAttribute(name) ?? '');
      }
    }
    return found;
  }, spoken);
  const left = texts.map((text) => outside(text).trim()).filter((text) => /\p{L}{2}/u.test(text));
  // The beginning of any address is of no language.
  return [...new Set(left)].filter((text) => text !== 'https://');
}

const language = grammar();
/** What can be said stands on its button in those very words. */
const canBeSaid = (text: string): boolean =>
  interpret(language, language.words(text)).is !== 'nothing';

/** How one comes to each screen, in whatever language. */
const screens: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  start: async () => {},
  'mid exam': (page) => type(page, 'right patellar 3+, left 2+', 'yes', 'ankle jerk 1+'),
  prompted: (page) => type(page, 'prompt me'),
  'signed off': async (page) => {
    await type(page, 'right patellar 3+', 'exam complete', 'affirm', 'sign off');
    await page.locator('.summary .sites').waitFor();
    await page.locator('.pathway svg').waitFor();
  },
  settings: (page) => page.getByRole('button', { name: english.text.settings }).click(),
  help: (page) => page.getByRole('button', { name: english.text.help }).click(),
  'own plan': (page) => type(page, 'make my own plan'),
  'microphone check': (page) => type(page, 'microphone check'),
  'new exam': async (page) => {
    await type(page, 'right patellar 3+');
    await page.getByRole('button', { name: english.text.newExam }).click();
  },
  records: async (page) => {
    await type(page, 'show the records');
    const panel = page.getByRole('dialog');
    await panel.getByLabel(`⟦${recordsMessages.passphrase}⟧`, { exact: true }).fill(passphrase);
    await page.getByLabel(recordsMessages.repeated).fill(passphrase);
    await page.getByRole('button', { name: recordsMessages.create }).click();
    await page.getByText(recordsMessages.created).first().waitFor();
  },
  trouble: async (page) => {
    await page.getByRole('button', { name: english.text.listen }).first().click();
    await page.getByText(english.trouble['no-device']).waitFor();
  },
};

async function hasNoStranger(page: Page): Promise<void> {
  const found = await strangers(page);
  expect(found.filter((text) => !canBeSaid(text))).toEqual([]);
  await page.context().close();
}

test.each(Object.entries(screens))('every word of the interface: %s', async (_name, open) => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await open(page);
  await page.waitForTimeout(500);
  await hasNoStranger(page);
});

const press = (page: Page, name: string) =>
  page.getByRole('button', { name: `⟦${name}⟧`, exact: true }).click();
const field = (page: Page, name: string) => page.getByLabel(`⟦${name}⟧`, { exact: true });
/** A file of no name that is a word, so that it is of no language. */
const file = (content: string) => ({ name: '1', mimeType: '', buffer: Buffer.from(content) });

async function keepRecords(page: Page): Promise<void> {
  await type(page, 'show the records');
  await field(page, recordsMessages.passphrase).fill(passphrase);
  await field(page, recordsMessages.repeated).fill(passphrase);
  await press(page, recordsMessages.create);
  await page.getByText(recordsMessages.created).first().waitFor();
  await press(page, english.text.close);
}
async function openPack(page: Page, content: string): Promise<void> {
  await keepRecords(page);
  await type(page, 'show the records');
  await field(page, recordsMessages.packChoose).setInputFiles(file(content));
  await field(page, recordsMessages.packPassphrase).last().fill(passphrase);
  await press(page, recordsMessages.packIn);
}
/** From now on the browser's database writes nothing more, for this reason. */
const failDisk = (page: Page, reason: string): Promise<void> =>
  page.evaluate((name) => {
    const fail = (): never => {
      throw new DOMException('as planned', name);
    };
    IDBObjectStore.prototype.add = fail;
    IDBObjectStore.prototype.put = fail;
  }, reason);

/** What can go wrong, how it comes to that, and the line that then stands on the page. */
const faults: Readonly<Record<string, readonly [string, (page: Page) => Promise<void>]>> = {
  'a file that is no recording': [
    audioMessages.wav.other,
    (page) => field(page, english.text.chooseRecording).setInputFiles(file('not a recording')),
  ],
  'a recording that is cut short': [
    audioMessages.wav.noSound,
    (page) => field(page, english.text.chooseRecording).setInputFiles(file('RIFF')),
  ],
  'a full disk': [
    storeMessages.database.full,
    async (page) => {
      await keepRecords(page);
      await failDisk(page, 'QuotaExceededError');
      await type(page, 'right patellar 3+');
    },
  ],
  'a disk that fails': [
    storeMessages.database.unusable,
    async (page) => {
      await keepRecords(page);
      await failDisk(page, 'DataError');
      await type(page, 'right patellar 3+');
    },
  ],
  'a passphrase that does not open the records': [
    storeMessages.wrongPassphrase,
    async (page) => {
      await keepRecords(page);
      await type(page, 'lock the records', 'show the records');
      await field(page, recordsMessages.passphrase).fill(`${passphrase} 2`);
      await press(page, recordsMessages.unlock);
    },
  ],
  'a file that is no review pack': [storeMessages.pack.none, (page) => openPack(page, 'no pack')],
  'a review pack that is damaged': [
    storeMessages.pack.damagedFront,
    (page) => openPack(page, 'PLESSOR-PACK 1\n0000'),
  ],
  'a file that is no record': [
    formFaultMessages.record.noJson,
    async (page) => {
      await keepRecords(page);
      await type(page, 'show the records');
      await field(page, recordsMessages.bring).setInputFiles(file('no record'));
    },
  ],
  'a server that does not answer': [
    storeMessages.server.notSent(`⟦${storeMessages.server.unreachable}⟧`),
    async (page) => {
      await type(page, 'right patellar 3+', 'show the records');
      // Nothing listens there.
      await field(page, recordsMessages.server).fill('http://127.0.0.1:9/');
      await press(page, recordsMessages.send);
    },
  ],
  'a recogniser that is not there': [
    engineMessages.model.missing('examear.bin'),
    async (page) => {
      await page.route('**/examear.bin', (route) => route.abort());
      await page.reload();
    },
  ],
};

test.each(Object.entries(faults))('every word of what went wrong: %s', async (_name, fault) => {
  const [line, bringAbout] = fault;
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await bringAbout(page);
  await page.getByText(`⟦${line}⟧`).first().waitFor();
  await hasNoStranger(page);
});

test('every word of what went wrong: a microphone that is refused', async () => {
  const refusing = await openBrowser('refused');
  const { page } = await openRoom(refusing, site, { voice: 'silent' });
  await press(page, english.text.listen);
  await page.getByText(`⟦${english.trouble.denied}⟧`).waitFor();
  await hasNoStranger(page);
  await refusing.close();
});

const { name = '' } = models.find(({ files }) => files[0]?.path === 'mdef') ?? {};
/** Beside a model stands what its publisher says of it, in their words: only the fault is looked at. */
const modelFaults: Readonly<Record<string, readonly [string, (card: Locator) => Promise<void>]>> = {
  'a file of another kind': [
    modelFaultMessages.notChosen('mdef'),
    (card) => card.getByLabel(modelMessages.files).setInputFiles([file('a'), file('b')]),
  ],
  'a publisher that cannot be reached': [
    modelFaultMessages.unreachable('raw.githubusercontent.com'),
    async (card) => {
      await card.page().route('https://**', (route) => route.abort());
      await card.getByRole('button').first().click();
    },
  ],
};

test.each(Object.entries(modelFaults))(
  'every word of what went wrong: %s',
  async (_name, fault) => {
    const [line, bringAbout] = fault;
    const { page } = await openRoom(chromium, site, { voice: 'silent' });
    await press(page, english.text.settings);
    await press(page, modelMessages.open);
    const card = page.getByRole('region', { name, exact: true });
    await bringAbout(card);
    const told = card.getByRole('alert').filter({ hasText: `⟦${line}⟧` });
    await told.waitFor();
    expect(outside((await told.textContent()) ?? '')).toBe('');
    await page.context().close();
  },
);

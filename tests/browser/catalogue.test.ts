import { cp, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
// @ts-expect-error the build is plain JavaScript, so that it runs before anything is built
import { page as buildPage } from '../../src/app/build.mjs';
import { english as grammar } from '../../src/app/language.ts';
import { interpret } from '../../src/interpret/index.ts';
import { english, recordsMessages } from '../../src/ui/index.ts';
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

test.each(Object.entries(screens))('every word of the interface: %s', async (_name, open) => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await open(page);
  await page.waitForTimeout(500);
  const found = await strangers(page);
  expect(found.filter((text) => !canBeSaid(text))).toEqual([]);
  await page.context().close();
});

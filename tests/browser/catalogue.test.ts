import { cp, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
// @ts-expect-error the build is plain JavaScript, so that it runs before anything is built
import { page as buildPage } from '../../src/app/build.mjs';
import { english as grammar } from '../../src/app/language.ts';
import { examMessages, itemName, planItems } from '../../src/exam/index.ts';
import { interpret } from '../../src/interpret/index.ts';
import { english, recordsMessages } from '../../src/ui/index.ts';
import { passphrase } from '../records/steps.ts';
import { type OpenBrowser, openBrowser, openRoom, openSite, type Site, type } from './browser.ts';

const project = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/**
 * What is put in place of a catalogue: the same texts, each between brackets, as a translator's would
 * stand in its place.
 */
const bracketed = `
function bracketed(one) {
  if (typeof one === 'string') return one === '' ? one : '⟦' + one + '⟧';
  if (typeof one === 'function') return (...given) => bracketed(one(...given));
  if (Array.isArray(one)) return one.map(bracketed);
  if (typeof one !== 'object' || one === null) return one;
  return Object.fromEntries(Object.entries(one).map(([k, v]) => [k, ['locale', 'language'].includes(k) ? v : bracketed(v)]));
}
`;

let folder: string;
let site: Site;
let chromium: OpenBrowser;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-catalogue-'));
  for (const part of ['src', 'grammars', 'demo-audio-scripts', 'models-manifest', 'package.json']) {
    await cp(project(part), join(folder, part), { recursive: true });
  }
  await symlink(project('node_modules'), join(folder, 'node_modules'));
  const ui = join(folder, 'src/ui');
  const catalogues = (await readdir(ui)).filter((name) => /messages\.ts$/i.test(name));
  expect(catalogues.length).toBeGreaterThan(3);
  for (const name of catalogues) {
    const text = await readFile(join(ui, name), 'utf8');
    const made = text.replace(
      /^export const (\w+)(: \w+)? =/gm,
      'export const $1$2 = /* in another language */ bracketed(plain_$1);\nconst plain_$1$2 =',
    );
    // What is exported first stands above what it is made of.
    const parts = made.split(/^(?=export const \w+(?:: \w+)? = \/\* in another)/m);
    const moved = parts.map((part) => {
      const [first = '', ...rest] = part.split('\n');
      return first.includes('/* in another language */') ? [...rest, first].join('\n') : part;
    });
    await writeFile(join(ui, name), `${moved.join('')}\n${bracketed}`);
  }
  await buildPage(join(folder, 'src/app'), join(folder, 'page'));
  site = await openSite(join(folder, 'page'));
  chromium = await openBrowser();
}, 180_000);
afterAll(async () => {
  await chromium?.close();
  await site?.close();
  await rm(folder, { recursive: true, force: true });
});

/**
 * What the language of the exam says, not the interface: words heard and spoken back, names of what is
 * examined, and the reasoning of the summary, which is a paper of the report.
 */
const spoken =
  'script, style, noscript, q, svg, .said-back, .asking h2, .answers, .phrases, .transcript li, .summary';

/** Texts and names on the page that stand in no catalogue. */
const strangers = (page: Page): Promise<readonly string[]> =>
  page.evaluate((apart) => {
    const found = new Set<string>();
    const look = (text: string): void => {
      // Whatever stands between brackets came from a catalogue.
      const rest = text.replaceAll(/⟦[^⟦⟧]*(?:⟦[^⟦⟧]*⟧[^⟦⟧]*)*⟧/gs, ' ').trim();
      // The beginning of any address is of no language.
      if (/\p{L}{2}/u.test(rest) && rest !== 'https://') found.add(rest);
    };
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node !== null; node = walk.nextNode()) {
      if (node.parentElement?.closest(apart) === null) look(node.textContent ?? '');
    }
    for (const name of ['aria-label', 'placeholder', 'title', 'alt']) {
      for (const element of document.querySelectorAll(`[${name}]`)) {
        if (element.closest(apart) === null) look(element.getAttribute(name) ?? '');
      }
    }
    return [...found];
  }, spoken);

const language = grammar();
const { modalities, plans } = examMessages.en;
const lists = [...Object.values(modalities), ...Object.values(plans)];
const names = new Set([
  ...lists,
  ...planItems.flatMap(({ kind, site: place }) => [itemName(kind, place), place]),
]);
/** What can be said stands on its button in those very words; what is examined has its name. */
function ofTheExam(text: string): boolean {
  const plain = text.replace(/^(→|,|left|right) ?/, '');
  if (names.has(plain) || plain.split(/, |; /).every((part) => names.has(part))) return true;
  return interpret(language, language.words(plain)).is !== 'nothing';
}

/** How one comes to each screen, in whatever language. */
const screens: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  start: async () => {},
  'mid exam': (page) => type(page, 'right patellar 3+, left 2+', 'yes', 'ankle jerk 1+'),
  prompted: (page) => type(page, 'prompt me'),
  'signed off': (page) => type(page, 'right patellar 3+', 'exam complete', 'affirm', 'sign off'),
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
  expect(found.filter((text) => !ofTheExam(text))).toEqual([]);
  await page.context().close();
});

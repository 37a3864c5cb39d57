import { mkdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { Theme } from '../../src/ui/index.ts';
import { openBrowser, openRoom, openSite } from '../browser/browser.ts';
import { screens } from '../browser/screens.ts';
import {
  choosePassphrase,
  closePanel,
  examine,
  openPack,
  openRecords,
  savePack,
} from '../records/steps.ts';

/** Seen from where the project is. */
const folder = 'src/ui/screens';

interface Device {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly theme: Theme;
  /** Of the picture against the screen. */
  readonly scale: number;
}

/** One theme each, so that each is seen. */
const devices: readonly Device[] = [
  { name: 'phone', width: 390, height: 844, theme: 'light', scale: 0.7 },
  { name: 'tablet', width: 820, height: 1180, theme: 'dark', scale: 0.5 },
  { name: 'desktop', width: 1280, height: 900, theme: 'contrast', scale: 0.5 },
];

/** The records, which want a passphrase first. */
const recordsScreens: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  records: async (page) => {
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('bed 4');
    await examine(page, 'right patellar 2+', 'left patellar 2+');
    await openRecords(page);
  },
  review: async (page) => {
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('bed 4');
    await examine(page, 'right patellar 3+', 'left patellar 2+');
    await openRecords(page);
    await openPack(page, await savePack(page));
    await page.getByText('Finding 1 of 2').waitFor();
  },
};

/** A small picture of every screen on every device, for src/ui/README.md. */
export async function bench(): Promise<string> {
  const site = await openSite();
  const chromium = await openBrowser();
  await rm(folder, { recursive: true, force: true });
  await mkdir(folder, { recursive: true });
  let bytes = 0;
  let count = 0;
  try {
    for (const [screen, open] of Object.entries({ ...screens, ...recordsScreens })) {
      for (const { name, theme, scale, ...viewport } of devices) {
        const settings = { voice: 'silent', theme } as const;
        const { page } = await openRoom(chromium, site, settings, { viewport });
        page.setDefaultTimeout(60_000);
        await page.getByText('Ready', { exact: true }).waitFor();
        await open(page);
        await page.evaluate(() => scrollTo(0, 0));
        const session = await page.context().newCDPSession(page);
        const { data } = await session.send('Page.captureScreenshot', {
          format: 'webp',
          quality: 50,
          clip: { x: 0, y: 0, ...viewport, scale },
        });
        const picture = Buffer.from(data, 'base64');
        await writeFile(join(folder, `${screen.replaceAll(' ', '-')}-${name}.webp`), picture);
        bytes += picture.length;
        count += 1;
        await page.context().close();
      }
    }
  } finally {
    await chromium.close();
    await site.close();
  }
  return `${count} pictures in ${folder}, ${Math.round(bytes / 1000)} kB`;
}

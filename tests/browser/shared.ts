import { afterAll, beforeAll } from 'vitest';
import { type OpenBrowser, openBrowser, openSite, type Site } from './browser.ts';

/** The page served and a browser without a microphone, opened for all tests of a file and closed after. */
export function sharedBrowser(): { readonly site: Site; readonly chromium: OpenBrowser } {
  let site: Site | undefined;
  let chromium: OpenBrowser | undefined;
  beforeAll(async () => {
    site = await openSite();
    chromium = await openBrowser();
  });
  const close = async (): Promise<void> => {
    await chromium?.close();
    await site?.close();
  };
  afterAll(close);
  const opened = <T>(one: T | undefined): T => {
    if (one === undefined) throw new Error('opened only while tests run');
    return one;
  };
  return {
    site: {
      get address() {
        return opened(site).address;
      },
      close,
    },
    chromium: {
      get browser() {
        return opened(chromium).browser;
      },
      close,
    },
  };
}

import { spawn } from 'node:child_process';
import { readFile, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright-core';

export const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** Answers for every address of these pages: a script, and a page that starts it. */
export async function servePage(context: BrowserContext, script: string): Promise<void> {
  await context.route('**/*', (route) =>
    route.fulfill(
      route.request().url().endsWith('.js')
        ? { contentType: 'text/javascript', body: script }
        : {
            contentType: 'text/html',
            body: '<!doctype html><script type="module" src="/script.js"></script>',
          },
    ),
  );
}

/** Opens the page with the vault in it, from an address that is trusted as if it came over TLS. */
export async function openVaultPage(
  context: BrowserContext,
  address = 'http://localhost',
): Promise<Page> {
  const page = await context.newPage();
  await page.goto(address);
  await page.waitForFunction(() => 'vaultPage' in window);
  return page;
}

export interface RunningBrowser {
  readonly context: BrowserContext;
  /** Kills every process of the browser at once, as a power cut would; resolves when they are gone. */
  kill(): Promise<void>;
}

/** Chromium on a profile, started as a process of our own so that it can be killed for good. */
export async function startBrowser(profile: string): Promise<RunningBrowser> {
  const portFile = join(profile, 'DevToolsActivePort');
  await rm(portFile, { force: true });
  const browser = spawn(
    executablePath,
    [
      '--headless=new',
      '--no-sandbox',
      '--disable-gpu',
      '--remote-debugging-port=0',
      `--user-data-dir=${profile}`,
      'about:blank',
    ],
    { stdio: 'ignore', detached: true },
  );
  const dead = new Promise<void>((resolve) => browser.once('exit', () => resolve()));
  const port = await portIn(portFile);
  const connection = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
  const [context] = connection.contexts();
  if (context === undefined) throw new Error('the browser has no context');
  return {
    context,
    kill: () => {
      if (browser.pid !== undefined) process.kill(-browser.pid, 'SIGKILL');
      return dead;
    },
  };
}

/**
 * Resolves when a browser that met a page for the first time has noted on its own disk that the page keeps
 * data. Chromium does so half a minute later; killed before, it forgets all that the page had written.
 * The page must have opened its database: from then on the journal is never empty before that note is
 * taken, while a page that has opened none leaves an empty one at once.
 */
export async function settled(profile: string): Promise<void> {
  const journal = join(profile, 'Default/WebStorage/QuotaManager-journal');
  for (let i = 0; i < 300; i++) {
    const written = await stat(journal).then(
      ({ size }) => size === 0,
      () => false,
    );
    if (written) return;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error('Chromium did not note that the page keeps data');
}

async function portIn(file: string): Promise<string> {
  for (let i = 0; i < 500; i++) {
    const text = await readFile(file, 'utf8').catch(() => '');
    if (text.includes('\n')) return text.split('\n')[0] ?? '';
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  throw new Error('Chromium did not start');
}

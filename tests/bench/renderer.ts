import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import type { OpenBrowser } from '../browser/browser.ts';

/** The page's own memory: what its process holds for itself alone, all garbage collected first. */
export async function privateMb(chromium: OpenBrowser, collect: Collect): Promise<number> {
  await collect();
  const sizes = await Promise.all(
    (await renderers(chromium)).map(async ({ id }) => {
      const text = await readFile(`/proc/${id}/smaps_rollup`, 'utf8').catch(() => '');
      const kb = [...text.matchAll(/^Private_(?:Clean|Dirty):\s+(\d+) kB/gm)];
      return kb.reduce((sum, [, size]) => sum + Number(size), 0) / 1000;
    }),
  );
  return Math.round(Math.max(0, ...sizes));
}

/** Processor time that the page's process has taken so far, all its threads together, in seconds. */
export async function processorSeconds(chromium: OpenBrowser): Promise<number> {
  return Math.max(0, ...(await renderers(chromium)).map(({ cpuTime }) => cpuTime));
}

async function renderers({ browser }: OpenBrowser) {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  return processInfo.filter(({ type }) => type === 'renderer');
}

/** Collects all garbage. */
export type Collect = () => Promise<void>;

/** Collects the garbage of a page and of each of its workers; to be made before the page opens any. */
export async function collector(page: Page): Promise<Collect> {
  const session = await page.context().newCDPSession(page);
  const workers = new Set<string>();
  const answered = new Map<number, () => void>();
  let asked = 0;
  session.on('Target.attachedToTarget', ({ sessionId }) => workers.add(sessionId));
  session.on('Target.detachedFromTarget', ({ sessionId }) => workers.delete(sessionId));
  session.on('Target.receivedMessageFromTarget', ({ message }) =>
    answered.get(JSON.parse(message).id)?.(),
  );
  const autoAttach = { autoAttach: true, waitForDebuggerOnStart: false, flatten: false };
  await session.send('Target.setAutoAttach', autoAttach);
  const ask = (sessionId: string, method: string): Promise<void> =>
    new Promise((resolve, reject) => {
      asked += 1;
      answered.set(asked, resolve);
      const message = JSON.stringify({ id: asked, method, params: {} });
      session.send('Target.sendMessageToTarget', { sessionId, message }).catch(reject);
    });
  return async () => {
    await session.send('HeapProfiler.collectGarbage');
    for (const worker of workers) {
      await ask(worker, 'HeapProfiler.enable');
      await ask(worker, 'HeapProfiler.collectGarbage');
    }
  };
}

import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openVaultPage, servePage, startBrowser } from '../store/browser.ts';
import { bundled } from '../store/bundle.ts';

const exams = 1000;
const findings = 150;

/** The vault in Chromium with many exams in it: how long until they can be listed. */
export async function bench(): Promise<string> {
  // Seen from here and from where the benchmark is built alike.
  const script = await bundled('../../tests/store/page.ts');
  const profile = await mkdtemp(join(tmpdir(), 'plessor-records-'));
  const browser = await startBrowser(profile);
  try {
    await servePage(browser.context, script);
    const filling = await openVaultPage(browser.context);
    await filling.evaluate(([n, each]) => window.vaultPage.fill(n, each), [
      exams,
      findings,
    ] as const);
    await filling.close();
    const times: number[] = [];
    for (let run = 0; run < 5; run++) {
      const page = await openVaultPage(browser.context);
      times.push(await page.evaluate((n) => window.vaultPage.list(n), exams));
      await page.close();
    }
    const sorted = times.map((t) => Math.round(t)).sort((a, b) => a - b);
    return `${exams} exams of ${findings} findings listed with their covers, in a page that was just opened: median ${sorted[2]} ms of ${sorted.join(', ')}`;
  } finally {
    await browser.kill();
    await rm(profile, { recursive: true, force: true });
  }
}

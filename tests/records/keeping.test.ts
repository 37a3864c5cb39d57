import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, onTestFinished, test } from 'vitest';
import { openRoom, savedRecord, type } from '../browser/browser.ts';
import { sharedBrowser } from '../browser/shared.ts';
import { startBrowser } from '../store/browser.ts';
import {
  choosePassphrase,
  closePanel,
  downloaded,
  examine,
  openExam,
  openRecords,
  passphrase,
  press,
  unlock,
} from './steps.ts';

const { site, chromium } = sharedBrowser();

/** A full run is 200; each costs a start of the page, so the suite makes do with a few. */
const kills = Number(process.env.PLESSOR_KILLS ?? 2);

const silent = { voice: 'silent' } as const;
const room = async () => {
  const opened = await openRoom(chromium, site, silent);
  opened.page.setDefaultTimeout(50_000);
  return opened;
};
/** The page in another tab of the same browser, or after the one before it is gone. */
async function anew(context: BrowserContext): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(50_000);
  await page.goto(site.address);
  await page.getByRole('heading', { name: 'Record', exact: true }).waitFor();
  return page;
}
const values = async (page: Page): Promise<readonly string[]> =>
  (
    (await savedRecord(page)) as {
      findings: { site: string; side: string; value: string }[];
    }
  ).findings.map(({ site: place, side, value }) => `${side} ${place} ${value}`);

/** The room in a page whose connection to its database can be closed under it, and kept from coming back. */
async function closing() {
  const { page } = await room();
  await page.addInitScript(() => {
    const open = IDBFactory.prototype.open;
    const hold = { connections: [] as IDBDatabase[], refused: false };
    Object.assign(window, { hold });
    IDBFactory.prototype.open = function (...args) {
      if (hold.refused) throw new DOMException('as planned', 'UnknownError');
      const request = open.apply(this, args);
      request.addEventListener('success', () => hold.connections.push(request.result));
      return request;
    };
  });
  await page.reload();
  type Held = { hold: { connections: IDBDatabase[]; refused: boolean } };
  return {
    page,
    /** Closes the connection that is in use; says whether there was a new one since the last time. */
    close: () =>
      page.evaluate(() => {
        const { connections } = (window as unknown as Held).hold;
        for (const connection of connections) connection.close();
        return connections.splice(0).length > 0;
      }),
    refuse: (refused: boolean) =>
      page.evaluate((now) => {
        (window as unknown as Held).hold.refused = now;
      }, refused),
  };
}

/** How many events the record has, and the words of each finding in it. */
async function eventsOf(page: Page) {
  const { events } = (await savedRecord(page)) as {
    events: { type: string; hearing?: { words: string } }[];
  };
  return { events: events.length, words: events.flatMap((event) => event.hearing?.words ?? []) };
}
/** "Said back Right ankle jerk one plus." is of the achilles. */
const placeIn = (text: string): string =>
  /^Said back Right (\w+)/.exec(text.replace('ankle jerk', 'achilles'))?.[1] ?? text;

describe('an exam in the page', () => {
  test('needs no passphrase; it says that it is not kept, and is kept once there is one', async () => {
    const { page, complaints } = await room();
    await examine(page, 'right patellar 3+');
    await page.getByText('Not kept: this exam lives as long as this page.').waitFor();
    await page.getByLabel('Patient label').fill('bed 4');
    await openRecords(page);
    // Said before there is a passphrase to forget.
    await page.getByText('There is no way back to a forgotten passphrase').waitFor();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.reload();
    await page.getByText('The records are locked').waitFor();
    await unlock(page);
    await openExam(page, 'bed 4');
    expect(await values(page)).toEqual(['right patellar 3+']);
    expect(await page.getByLabel('Patient label').inputValue()).toBe('bed 4');
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test(`survives ${kills} killed tabs: no finding whose read-back had begun is lost`, async () => {
    const { page: first } = await room();
    const context = first.context();
    await choosePassphrase(first);
    await closePanel(first);
    await first.getByLabel('Patient label').fill('killed');
    await examine(first, 'jaw jerk 2+');
    await first.close();
    let told: string[] = [];
    await context.exposeFunction('told', (text: string) => told.push(text));
    const sites = ['patellar', 'achilles', 'biceps', 'triceps', 'brachioradialis', 'adductor'];
    const grades = ['0', '1+', '2+', '3+', '4+'];
    let before = 0;
    for (let kill = 0; kill <= kills; kill++) {
      const page = await anew(context);
      await unlock(page);
      await openExam(page, 'killed');
      const { events, words: kept } = await eventsOf(page);
      // Each was said back, so each must be there: one event or more for each.
      expect(events, `after ${kill} kills`).toBeGreaterThanOrEqual(before + told.length);
      for (const text of told) expect(kept.join('; ')).toContain(placeIn(text));
      before = events;
      if (kill === kills) break;
      await page.evaluate(() => {
        const place = document.querySelector('.said-back');
        if (place === null) throw new Error('nothing is said back on this page');
        new MutationObserver(() => {
          const { told: tell } = window as unknown as { told(text: string): void };
          tell(place.textContent ?? '');
        }).observe(place, { subtree: true, childList: true, characterData: true });
      });
      told = [];
      // The examiner types on while the disk writes; the tab dies at some moment in between.
      const typing = (async () => {
        for (let n = 0; ; n++) {
          const place = sites[(kill + n) % sites.length] ?? '';
          await type(page, `right ${place} ${grades[(kill * 3 + n) % grades.length]}`);
        }
      })().catch(() => {});
      while (told.length === 0) await new Promise((resolve) => setTimeout(resolve, 5));
      await new Promise((resolve) => setTimeout(resolve, Math.random() * 400));
      const session = await context.newCDPSession(page);
      const crashed = page.waitForEvent('crash');
      session.send('Page.crash').catch(() => {});
      await crashed;
      await page.close().catch(() => {});
      await typing;
      // A question says back what is not recorded yet.
      told = [...new Set(told)].filter(
        (text) => text.startsWith('Said back Right') && !text.endsWith('?'),
      );
    }
    await context.close();
  }, 2_000_000);

  test('goes on in memory when the disk is full, says so, and is whole once there is room', async () => {
    // The quota of a browser's own profile can be set; that of a passing one cannot.
    const profile = await mkdtemp(join(tmpdir(), 'plessor-full-'));
    const before = await startBrowser(profile);
    const first = await anew(before.context);
    await choosePassphrase(first);
    await closePanel(first);
    await examine(first, 'right patellar 3+');
    await before.kill();
    const browser = await startBrowser(profile);
    onTestFinished(async () => {
      await browser.kill();
      await rm(profile, { recursive: true, force: true });
    });
    const page = await browser.context.newPage();
    const session = await browser.context.newCDPSession(page);
    const { origin } = new URL(site.address);
    // Before the page is there: the browser asks for the room that is left now and then only.
    await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 1 });
    await page.goto(site.address);
    await unlock(page);
    await openExam(page, 'no label');
    await examine(page, 'left biceps 2+');
    await page.getByRole('alert').getByText('There is no room left on this device').waitFor();
    expect(await values(page)).toHaveLength(2);
    await session.send('Storage.overrideQuotaForOrigin', { origin });
    await press(page, 'Try to keep it again');
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.reload();
    await unlock(page);
    await openExam(page, 'no label');
    expect(await values(page)).toEqual(['right patellar 3+', 'left biceps 2+']);
  });

  test('begins anew where the browser lost its database, and says so', async () => {
    const profile = await mkdtemp(join(tmpdir(), 'plessor-lost-'));
    const before = await startBrowser(profile);
    const first = await anew(before.context);
    await choosePassphrase(first);
    await closePanel(first);
    await examine(first, 'right patellar 3+');
    await before.kill();
    const database = `http_${new URL(site.address).host.replace(':', '_')}.indexeddb.leveldb`;
    const place = join(profile, 'Default/IndexedDB', database);
    for (const file of await readdir(place)) {
      if (/^(MANIFEST|CURRENT)/.test(file)) await writeFile(join(place, file), 'damaged');
    }
    const browser = await startBrowser(profile);
    onTestFinished(async () => {
      await browser.kill();
      await rm(profile, { recursive: true, force: true });
    });
    const page = await anew(browser.context);
    await page.getByRole('alert').getByText('This browser lost its database').waitFor();
    await choosePassphrase(page);
    await closePanel(page);
    await examine(page, 'left biceps 2+');
    await page.getByText('Kept on this device, encrypted.').waitFor();
    expect(await values(page)).toEqual(['left biceps 2+']);
  });

  test('goes on in memory beside a newer version of the program, and says what to do', async () => {
    const { page } = await room();
    await choosePassphrase(page);
    await closePanel(page);
    await examine(page, 'right patellar 3+');
    const other = await page.context().newPage();
    await other.goto(`${site.address}notices.txt`);
    await other.evaluate(
      () =>
        new Promise<void>((resolve, reject) => {
          const open = indexedDB.open('plessor', 99);
          open.onsuccess = () => resolve(open.result.close());
          open.onerror = () => reject(open.error);
        }),
    );
    await examine(page, 'left biceps 2+');
    await page.getByRole('alert').getByText('written by a newer version of Plessor').waitFor();
    expect(await values(page)).toHaveLength(2);
    await page.context().close();
  });

  test('whose connection is closed under it, finding by finding, is whole', async () => {
    const { page, close } = await closing();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('closed');
    await examine(page, 'right patellar 3+');
    const closed: boolean[] = [];
    for (const words of ['left biceps 2+', 'left triceps 1+', 'jaw jerk 2+']) {
      closed.push(await close());
      await examine(page, words);
      await page.getByText('Kept on this device, encrypted.').waitFor();
    }
    expect(closed).toEqual([true, true, true]);
    await page.reload();
    await unlock(page);
    await openExam(page, 'closed');
    expect(await values(page)).toEqual([
      'right patellar 3+',
      'left biceps 2+',
      'left triceps 1+',
      'midline jaw 2+',
    ]);
    await page.context().close();
  });

  test('goes on in memory when the database cannot be opened again, and says what to do', async () => {
    const { page, close, refuse } = await closing();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('earlier');
    await examine(page, 'jaw jerk 2+');
    await press(page, 'New exam');
    await page.getByLabel('Patient label').fill('closed');
    await examine(page, 'right patellar 3+');
    await refuse(true);
    await close();
    await examine(page, 'left biceps 2+', 'left triceps 1+');
    await page.getByRole('alert').getByText('database of this browser cannot be used').waitFor();
    await page.getByText('The exam goes on in memory.').first().waitFor();
    expect(await values(page)).toHaveLength(3);
    await refuse(false);
    await press(page, 'Try to keep it again');
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.reload();
    await unlock(page);
    await openExam(page, 'closed');
    expect(await values(page)).toEqual(['right patellar 3+', 'left biceps 2+', 'left triceps 1+']);
    await openRecords(page);
    await openExam(page, 'earlier');
    expect(await values(page)).toEqual(['midline jaw 2+']);
    await page.context().close();
  });

  test('goes on in memory when the records are deleted under it, and never says that they are kept', async () => {
    const { page } = await room();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('deleted');
    await examine(page, 'right patellar 3+');
    const session = await page.context().newCDPSession(page);
    const { origin } = new URL(site.address);
    // As "clear browsing data" does.
    await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' });
    await examine(page, 'left biceps 2+');
    const told = page.getByRole('alert').getByText('deleted while they were open here');
    await told.waitFor();
    expect(await values(page)).toEqual(['right patellar 3+', 'left biceps 2+']);
    await press(page, 'New exam');
    await examine(page, 'left triceps 1+');
    await told.waitFor();
    expect(await page.getByText('Kept on this device, encrypted.').count()).toBe(0);
    await savedRecord(page);
    await page.reload();
    await choosePassphrase(page);
    await closePanel(page);
    await examine(page, 'jaw jerk 2+');
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.context().close();
  });

  test('in two tabs loses nothing: the later one keeps its own as a copy', async () => {
    const { page: one } = await room();
    await choosePassphrase(one);
    await closePanel(one);
    await one.getByLabel('Patient label').fill('shared');
    await examine(one, 'right patellar 3+');
    const two = await anew(one.context());
    await unlock(two);
    await openExam(two, 'shared');
    await examine(two, 'left biceps 2+');
    await examine(one, 'left triceps 1+');
    await one.getByRole('alert').getByText('changed in another window').waitFor();
    await press(one, 'Keep what is here as a copy');
    await one.getByText('Kept on this device, encrypted.').waitFor();
    expect(await values(one)).toEqual(['right patellar 3+', 'left triceps 1+']);
    expect(await values(two)).toEqual(['right patellar 3+', 'left biceps 2+']);
    await openRecords(one);
    expect(await one.getByRole('dialog').getByText('shared', { exact: true }).count()).toBe(2);
    await one.context().close();
  });

  test('that is damaged on disk is told of and restored as far as it can be read', async () => {
    const { page } = await room();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('damaged');
    await examine(page, 'right patellar 3+', 'left biceps 2+', 'left triceps 1+');
    await press(page, 'New exam');
    await page.getByLabel('Patient label').fill('whole');
    await examine(page, 'jaw jerk 2+');
    await page.evaluate(
      () =>
        new Promise<void>((resolve, reject) => {
          const open = indexedDB.open('plessor');
          open.onerror = () => reject(open.error);
          open.onsuccess = () => {
            const rows = open.result.transaction('rows', 'readwrite').objectStore('rows');
            rows.getAll().onsuccess = ({ target }) => {
              const all = (target as IDBRequest).result as {
                exam: string;
                index: number;
                sealed: Uint8Array;
              }[];
              const longest = all.findLast(({ index }) => index > 3)?.exam;
              const row = all.find(({ exam, index }) => exam === longest && index === 3);
              if (row === undefined) return reject(new Error('there is no such row'));
              row.sealed[20] = (row.sealed[20] ?? 0) ^ 1;
              rows.put(row).onsuccess = () => resolve(open.result.close());
            };
          };
        }),
    );
    await page.reload();
    await unlock(page);
    await press(page, /^Open damaged/);
    await page.getByText('of this exam is damaged').waitFor();
    await press(page, /^Restore the 3 events/);
    await page.getByRole('dialog').waitFor({ state: 'hidden' });
    expect((await values(page))[0]).toBe('right patellar 3+');
    await openRecords(page);
    await openExam(page, 'whole');
    expect(await values(page)).toEqual(['jaw jerk 2+'.replace('jaw jerk', 'midline jaw')]);
    await page.context().close();
  });
});

test('a clock that is set back deletes nothing and puts no finding before an earlier one', async () => {
  const context = await chromium.browser.newContext();
  const page = await context.newPage();
  page.setDefaultTimeout(50_000);
  await page.clock.install({ time: '2026-11-25T12:00:00Z' });
  await page.goto(site.address);
  await choosePassphrase(page);
  await page.getByLabel('Delete exams after').selectOption('30');
  await closePanel(page);
  await page.getByLabel('Patient label').fill('bed 4');
  await examine(page, 'right patellar 3+');
  await page.clock.setSystemTime('2025-01-01T00:00:00Z');
  await examine(page, 'left patellar 2+', 'jaw jerk 2+');
  await page.getByText('Kept on this device, encrypted.').waitFor();
  const timesOf = async () =>
    ((await savedRecord(page)) as { events: { at: number }[] }).events.map(({ at }) => at);
  const times = await timesOf();
  expect(times).toEqual(times.toSorted((a, b) => a - b));
  // And far ahead, at the next opening, where the exam would be due to be deleted.
  await page.clock.setSystemTime('2031-01-01T00:00:00Z');
  await page.reload();
  await unlock(page);
  await openExam(page, 'bed 4');
  expect(await values(page)).toHaveLength(3);
  expect(await timesOf()).toEqual(times);
  await context.close();
});

describe('the lock', () => {
  test('stays shut for another passphrase, can be changed, and puts the exam away', async () => {
    const { page } = await room();
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('bed 4');
    await examine(page, 'right patellar 3+');
    // By voice, typed here.
    await type(page, 'lock the records');
    await page.getByText('Nothing is recorded yet.').waitFor();
    await openRecords(page);
    await page.getByLabel('Passphrase', { exact: true }).fill('something else');
    await press(page, 'Unlock');
    await page.getByText('The passphrase does not open the records').waitFor();
    await unlock(page);
    await page.getByText('Change the passphrase').first().click();
    await page.locator('input[name=old]').fill(passphrase);
    await page.getByLabel('New passphrase').fill('reflex hammer');
    await page.getByLabel('The same again').fill('reflex hammer');
    await press(page, 'Change the passphrase');
    await page.getByText('The passphrase is changed.').waitFor();
    await page.reload();
    await unlock(page, 'reflex hammer');
    await openExam(page, 'bed 4');
    expect(await values(page)).toEqual(['right patellar 3+']);
    await page.context().close();
  });

  test('falls shut when nobody is there, and what was on the page goes with it', async () => {
    const context = await chromium.browser.newContext();
    const page = await context.newPage();
    await page.clock.install();
    await page.goto(site.address);
    await choosePassphrase(page);
    await closePanel(page);
    await examine(page, 'right patellar 3+');
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.clock.runFor(14 * 60_000);
    await page.getByText('Kept on this device, encrypted.').waitFor();
    await page.clock.runFor(2 * 60_000);
    await page.getByText('The records are locked').waitFor();
    await page.getByText('Nothing is recorded yet.').waitFor();
    await context.close();
  });

  test('that is forgotten leaves deleting everything, asked twice', async () => {
    const { page } = await room();
    await choosePassphrase(page);
    await closePanel(page);
    await examine(page, 'right patellar 3+');
    await page.reload();
    await openRecords(page);
    await page.getByText('The passphrase is forgotten').click();
    await press(page, 'Delete every exam and the passphrase');
    await press(page, 'Yes, delete');
    await page.getByRole('heading', { name: 'Choose a passphrase' }).waitFor();
    await page.context().close();
  });
});

test('exams are deleted one by one, and by their age', async () => {
  const { page } = await room();
  await choosePassphrase(page);
  await closePanel(page);
  await page.getByLabel('Patient label').fill('bed 4');
  await examine(page, 'right patellar 3+');
  const record = await downloaded(page, () => press(page, 'Save record (JSON)'));
  const aged = record
    .toString('utf8')
    .replace(/"exam": "[^"]*"/, '"exam": "an older one"')
    .replace(/"startedAt": "[^"]*"/, '"startedAt": "2020-02-02T10:00:00.000Z"')
    .replace('bed 4', 'bed 9');
  await openRecords(page);
  await page.getByLabel('Choose a record (JSON) or FHIR bundle').setInputFiles({
    name: 'record.json',
    mimeType: 'application/json',
    buffer: Buffer.from(aged),
  });
  await page.getByText('Taken in: Full motor and reflex.').waitFor();
  await page.getByLabel('Delete exams after').selectOption('365');
  await page.getByText('1 exam is older than that').waitFor();
  await press(page, 'Delete them');
  await press(page, 'Yes, delete');
  await page.getByText('bed 9').waitFor({ state: 'hidden' });
  await press(page, /^Delete bed 4/);
  await press(page, 'No, keep');
  await press(page, /^Delete bed 4/);
  await press(page, 'Yes, delete');
  await page.getByText('No exam is kept yet.').waitFor();
  const left = await page.evaluate(
    () =>
      new Promise((resolve) => {
        const open = indexedDB.open('plessor');
        open.onsuccess = () => {
          const all = open.result.transaction('rows').objectStore('rows').count();
          all.onsuccess = () => resolve(all.result);
        };
      }),
  );
  expect(left).toBe(0);
  await page.context().close();
});

test('no passphrase and no finding is in a log, an address, a cache or in clear on disk', async () => {
  const context = await chromium.browser.newContext();
  const page = await context.newPage();
  const traces: string[] = [];
  page.on('console', (message) => traces.push(message.text()));
  page.on('request', (request) => traces.push(request.url(), request.postData() ?? ''));
  await page.goto(site.address);
  await choosePassphrase(page);
  await closePanel(page);
  await page.getByLabel('Patient label').fill('Mx Invented');
  await examine(page, 'right patellar 3+');
  await page.getByText('Kept on this device, encrypted.').waitFor();
  await openRecords(page);
  await page.getByLabel('Passphrase for the pack').first().fill('pack hammer');
  await downloaded(page, () => press(page, 'Save a review pack'));
  traces.push(page.url());
  traces.push(
    await page.evaluate(async () => {
      const databases = await Promise.all(
        (await indexedDB.databases()).map(
          ({ name = '' }) =>
            new Promise<string>((resolve) => {
              const open = indexedDB.open(name);
              open.onsuccess = async () => {
                const stores = [...open.result.objectStoreNames].map(
                  (store) =>
                    new Promise<string>((done) => {
                      const all = open.result.transaction(store).objectStore(store).getAll();
                      all.onsuccess = () =>
                        done(
                          JSON.stringify(all.result, (_key, value) =>
                            value instanceof Uint8Array
                              ? new TextDecoder('latin1').decode(value)
                              : value,
                          ),
                        );
                    }),
                );
                resolve((await Promise.all(stores)).join('\n'));
              };
            }),
        ),
      );
      const caches_ = await Promise.all(
        (await caches.keys()).map(async (key) =>
          (await (await caches.open(key)).keys()).map(({ url }) => url).join('\n'),
        ),
      );
      const stored = JSON.stringify({ ...localStorage, ...sessionStorage });
      return [...databases, ...caches_, stored, document.cookie].join('\n');
    }),
  );
  const all = traces.join('\n');
  expect(all).toContain('wrapped');
  for (const secret of [passphrase, 'pack hammer', 'Mx Invented', 'patellar', '3+']) {
    expect(all, secret).not.toContain(secret);
  }
  await context.close();
});

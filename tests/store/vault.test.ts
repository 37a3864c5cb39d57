import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { PortError, type Vault } from '../../src/ports.ts';
import { memoryVault, SealedVault, type Shelf } from '../../src/store/index.ts';
import { anyEvents } from '../report/arbitrary.ts';
import { firstOnes, nth } from './events.ts';
import { anyKey, type Place, places } from './shelves.ts';

const failing = async (promise: Promise<unknown>): Promise<string> => {
  try {
    await promise;
  } catch (error) {
    if (error instanceof PortError) return error.code;
    throw error;
  }
  return 'nothing failed';
};

const vaults: readonly (readonly [
  string,
  () => Promise<{ vault: Vault; away(): Promise<void> }>,
])[] = [
  ['memory only', async () => ({ vault: memoryVault(), away: async () => {} })],
  ...places.map(
    ([name, make]) =>
      [
        `sealed in ${name}`,
        async () => {
          const place = await make();
          const vault = new SealedVault(place.shelf, await anyKey());
          return { vault, away: place.away };
        },
      ] as const,
  ),
];

describe.each(vaults)('a vault, %s', (_, make) => {
  let vault: Vault;
  let away: () => Promise<void>;
  beforeEach(async () => {
    ({ vault, away } = await make());
  });
  afterEach(() => away());

  test('gives back the events of an exam in their order', async () => {
    for (const event of firstOnes(5)) await vault.append('a', event);
    expect(await vault.load('a')).toEqual(firstOnes(5));
  });

  test('keeps the order of events that were not waited for', async () => {
    await Promise.all(firstOnes(20).map((event) => vault.append('a', event)));
    expect(await vault.load('a')).toEqual(firstOnes(20));
  });

  test('keeps exams apart, lists them, and deletes one alone', async () => {
    await vault.append('b', nth(0));
    await vault.append('a', nth(0));
    await vault.append('b', nth(1));
    expect(await vault.list()).toEqual(['a', 'b']);
    await vault.remove('b');
    expect(await vault.list()).toEqual(['a']);
    expect(await vault.load('b')).toEqual([]);
    expect(await vault.load('a')).toEqual([nth(0)]);
  });

  test('starts a deleted exam anew', async () => {
    await vault.append('a', nth(0));
    await vault.append('a', nth(1));
    await vault.remove('a');
    await vault.append('a', nth(0));
    expect(await vault.load('a')).toEqual([nth(0)]);
  });

  test('knows nothing of an exam that never was', async () => {
    expect(await vault.load('never')).toEqual([]);
    await vault.remove('never');
    expect(await vault.list()).toEqual([]);
  });

  test('takes any id', async () => {
    for (const exam of ['', '..', 'A', 'a', 'x', 'ü/\\:*?"<>|', 'con', 'a'.repeat(100)]) {
      await vault.append(exam, nth(0));
      expect(await vault.load(exam)).toEqual([nth(0)]);
    }
    expect(await vault.list()).toHaveLength(8);
  });

  test('gives back any exam exactly', async () => {
    let exam = 0;
    await fc.assert(
      fc.asyncProperty(anyEvents, async (events) => {
        const id = `exam-${++exam}`;
        for (const event of events) await vault.append(id, event);
        expect(await vault.load(id)).toEqual(events);
      }),
      { numRuns: 10 },
    );
  }, 60_000);
});

describe.each(places)('a sealed vault in %s', (_, make) => {
  let place: Place;
  let key: CryptoKey;
  const opened = (shelf: Shelf = place.again()) => new SealedVault(shelf, key);
  beforeEach(async () => {
    place = await make();
    key = await anyKey();
  });
  afterEach(() => place.away());

  test('lies on the shelf as nothing that can be read', async () => {
    const vault = opened(place.shelf);
    await vault.append('a', nth(1));
    await vault.setCover('a', { patientLabel: 'bed four' });
    const [row] = await place.shelf.rows('a');
    const [shelved] = await place.shelf.exams();
    const text = new TextDecoder('latin1');
    const all = text.decode(row?.sealed) + text.decode(shelved?.cover);
    expect(all).not.toMatch(/patellar|left|bed/);
  });

  test('seals the same event differently each time', async () => {
    const vault = opened(place.shelf);
    await vault.append('a', nth(1));
    await vault.append('b', nth(1));
    const [a] = await place.shelf.rows('a');
    const [b] = await place.shelf.rows('b');
    expect(a?.sealed.slice(0, 12)).not.toEqual(b?.sealed.slice(0, 12));
  });

  test('is read by the next start of the program', async () => {
    for (const event of firstOnes(3)) await opened(place.shelf).append('a', event);
    const next = opened();
    expect(await next.load('a')).toEqual(firstOnes(3));
    await next.append('a', nth(3));
    expect(await opened().load('a')).toEqual(firstOnes(4));
  });

  test('refuses to mix what two windows say of one exam, and lets neither be lost', async () => {
    const one = opened(place.shelf);
    const two = opened();
    await one.append('a', nth(0));
    await two.load('a');
    await two.append('a', nth(7));
    expect(await failing(one.append('a', nth(1)))).toBe('in-use');
    expect(await failing(one.append('a', nth(2)))).toBe('in-use');
    expect(one.unsaved('a')).toEqual([nth(1), nth(2)]);
    await one.saveCopy('a', 'a-copy');
    expect(await two.load('a')).toEqual([nth(0), nth(7)]);
    expect(await two.load('a-copy')).toEqual([nth(0), nth(1), nth(2)]);
    expect(one.unsaved('a')).toEqual([]);
  });

  test('goes on with what the other window wrote, when told to', async () => {
    const one = opened(place.shelf);
    const two = opened();
    await one.append('a', nth(0));
    await two.append('a', nth(7));
    expect(await failing(one.append('a', nth(1)))).toBe('in-use');
    one.giveWay('a');
    expect(await one.load('a')).toEqual([nth(0), nth(7)]);
    await one.append('a', nth(8));
    expect(await two.load('a')).toEqual([nth(0), nth(7), nth(8)]);
  });

  test('lists exams with their covers, and deletes those from before a day', async () => {
    const vault = opened(place.shelf);
    await vault.append('a', nth(0));
    await vault.setCover('a', { patientLabel: 'bed four', startedAt: '2026-01-05T09:00:00Z' });
    await vault.append('b', nth(0));
    await vault.setCover('b', { startedAt: '2026-11-25T09:00:00+01:00' });
    await vault.append('c', nth(0));
    expect(await vault.covers()).toEqual([
      {
        exam: 'a',
        cover: { patientLabel: 'bed four', startedAt: '2026-01-05T09:00:00Z' },
        damaged: false,
      },
      { exam: 'b', cover: { startedAt: '2026-11-25T09:00:00+01:00' }, damaged: false },
      { exam: 'c', cover: {}, damaged: false },
    ]);
    expect(await vault.removeBefore('2026-06-01T00:00:00Z')).toEqual(['a']);
    expect(await vault.list()).toEqual(['b', 'c']);
  });

  test('keeps sound beside its exam, sealed, and deletes it with the exam alone', async () => {
    const vault = opened(place.shelf);
    const sound = crypto.getRandomValues(new Uint8Array(5000));
    await vault.append('a', nth(0));
    await vault.attach('a', 'utterance/1', sound);
    await vault.attach('a', 'utterance/2', sound);
    await vault.attach('b', 'utterance/1', sound);
    expect(await opened().attachments('a')).toEqual(['utterance/1', 'utterance/2']);
    expect(await opened().attached('a', 'utterance/1')).toEqual(sound);
    const lies = await place.shelf.attachment('a', 'utterance/1');
    expect(lies?.slice(12, 5012)).not.toEqual(sound);
    await vault.remove('a');
    expect(await opened().attached('a', 'utterance/1')).toBeUndefined();
    expect(await opened().attached('b', 'utterance/1')).toEqual(sound);
    await vault.append('a', nth(0));
    expect(await vault.attachments('a')).toEqual([]);
    expect(await vault.load('a')).toEqual([nth(0)]);
  });

  test('keeps a setting, sealed, through the next start', async () => {
    await opened(place.shelf).setSetting('identity', { privateKey: 'secret' });
    expect(await opened().setting('identity')).toEqual({ privateKey: 'secret' });
    expect(await opened().setting('never')).toBeUndefined();
    const lies = await place.shelf.setting('identity');
    expect(new TextDecoder('latin1').decode(lies)).not.toContain('secret');
  });

  test('cannot be opened as another exam or another place', async () => {
    const vault = opened(place.shelf);
    for (const event of firstOnes(3)) await vault.append('a', event);
    const [first, second] = await place.shelf.rows('a');
    if (first === undefined || second === undefined) throw new Error('nothing was kept');
    await place.shelf.add({ ...first, exam: 'b' });
    await place.shelf.add({ ...first, exam: 'c' });
    await place.shelf.add({ ...first, exam: 'c', index: 1 });
    expect(await failing(opened().load('b'))).toBe('corrupt');
    expect(await opened().salvage('c')).toEqual({ events: [], damaged: [0, 1], total: 2 });
    expect(await opened().load('a')).toEqual(firstOnes(3));
  });

  test('says of a record from a newer program that it is newer', async () => {
    await place.shelf.add({ exam: 'a', index: 0, version: 2, sealed: new Uint8Array(40) });
    expect(await failing(opened().load('a'))).toBe('unsupported');
  });

  test('gives nothing away while it is locked, and loses nothing', async () => {
    const vault = opened(place.shelf);
    await vault.append('a', nth(0));
    vault.lock();
    expect(await failing(vault.append('a', nth(1)))).toBe('denied');
    expect(await failing(vault.load('a'))).toBe('denied');
    expect(await failing(vault.covers())).toBe('denied');
    expect(vault.unsaved('a')).toEqual([nth(1)]);
  });
});

describe.each(places)('the passphrase, in %s', (_, make) => {
  let place: Place;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.away());

  test('opens, stays shut for another, and can be changed without loss', async () => {
    const vault = new SealedVault(place.shelf);
    expect(await vault.exists()).toBe(false);
    expect(await failing(vault.unlock('tendon hammer'))).toBe('not-found');
    // What is said before a passphrase is set is kept as soon as one is.
    expect(await failing(vault.append('a', nth(0)))).toBe('denied');
    await vault.create('tendon hammer');
    await vault.append('a', nth(1));

    const next = new SealedVault(place.again());
    expect(next.locked).toBe(true);
    expect(await failing(next.unlock('tuning fork'))).toBe('denied');
    await next.unlock('tendon hammer');
    expect(await next.load('a')).toEqual(firstOnes(2));

    expect(await failing(next.changePassphrase('tuning fork', 'pin and cotton'))).toBe('denied');
    await next.changePassphrase('tendon hammer', 'pin and cotton');
    const last = new SealedVault(place.again());
    expect(await failing(last.unlock('tendon hammer'))).toBe('denied');
    await last.unlock('pin and cotton');
    expect(await last.load('a')).toEqual(firstOnes(2));
  }, 30_000);

  test('is not set a second time, nor too short', async () => {
    const vault = new SealedVault(place.shelf);
    expect(await failing(vault.create('short'))).toBe('denied');
    await vault.create('tendon hammer');
    expect(await failing(new SealedVault(place.again()).create('tuning fork'))).toBe('in-use');
  }, 30_000);

  test('deleted from another window: nothing is written that nobody could open, and it is said', async () => {
    const vault = new SealedVault(place.shelf);
    await vault.create('tendon hammer');
    await vault.append('a', nth(0));
    const other = new SealedVault(place.again());
    await other.clear();
    expect(await failing(vault.append('a', nth(1)))).toBe('not-found');
    expect(await failing(vault.append('b', nth(0)))).toBe('not-found');
    expect(await failing(vault.setCover('b', {}))).toBe('not-found');
    await other.create('tuning fork');
    await other.append('c', nth(0));
    // Under a passphrase that is not the one this window opened.
    expect(await failing(vault.append('b', nth(1)))).toBe('not-found');
    expect(vault.unsaved('b')).toEqual(firstOnes(2));
    expect(await other.list()).toEqual(['c']);
  }, 30_000);

  test('changed from another window is no other key', async () => {
    const vault = new SealedVault(place.shelf);
    await vault.create('tendon hammer');
    await new SealedVault(place.again()).changePassphrase('tendon hammer', 'tuning fork');
    await vault.append('a', nth(0));
    const next = new SealedVault(place.again());
    await next.unlock('tuning fork');
    expect(await next.load('a')).toEqual(firstOnes(1));
  }, 30_000);

  test('when forgotten leaves only to clear everything', async () => {
    const vault = new SealedVault(place.shelf);
    await vault.create('tendon hammer');
    await vault.append('a', nth(0));
    await vault.clear();
    expect(await vault.exists()).toBe(false);
    expect(await vault.list()).toEqual([]);
  }, 30_000);
});

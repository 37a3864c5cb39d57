import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { PortError } from '../../src/ports.ts';
import {
  indexedDbShelf,
  lockWhenIdle,
  memoryShelf,
  SealedVault,
  type Shelf,
} from '../../src/store/index.ts';
import { firstOnes, nth } from './events.ts';
import { anyKey } from './shelves.ts';

const failure = async (promise: Promise<unknown>): Promise<PortError> => {
  try {
    await promise;
  } catch (error) {
    if (error instanceof PortError) return error;
    throw error;
  }
  throw new Error('nothing failed');
};

/** A shelf whose next writes fail as told, after or before the row went down. */
function faulty(shelf: Shelf) {
  const plan: { readonly code: 'full' | 'closed' | 'timed-out'; readonly written: boolean }[] = [];
  const add: Shelf['add'] = async (row) => {
    const fault = plan.shift();
    if (fault === undefined || fault.written) await shelf.add(row);
    if (fault !== undefined) throw new PortError(fault.code, 'as planned');
  };
  return { plan, shelf: { ...shelf, add } };
}

describe('an exam on a failing shelf', () => {
  test('goes on in memory while the disk is full, and is whole once there is room', async () => {
    const { plan, shelf } = faulty(memoryShelf());
    const vault = new SealedVault(shelf, await anyKey());
    await vault.append('a', nth(0));
    plan.push({ code: 'full', written: false }, { code: 'full', written: false });
    expect((await failure(vault.append('a', nth(1)))).code).toBe('full');
    expect((await failure(vault.append('a', nth(2)))).code).toBe('full');
    expect(await vault.load('a')).toEqual(firstOnes(3));
    expect(vault.unsaved('a')).toEqual([nth(1), nth(2)]);
    await vault.append('a', nth(3));
    expect(vault.unsaved('a')).toEqual([]);
    expect(await shelf.length('a')).toBe(4);
    expect(await vault.load('a')).toEqual(firstOnes(4));
  });

  test('does not write an event twice whose answer was lost', async () => {
    const { plan, shelf } = faulty(memoryShelf());
    const vault = new SealedVault(shelf, await anyKey());
    plan.push({ code: 'timed-out', written: true });
    expect((await failure(vault.append('a', nth(0)))).code).toBe('timed-out');
    await vault.append('a', nth(1));
    expect(await vault.load('a')).toEqual(firstOnes(2));
  });

  test('is listed even when nothing of it could be written', async () => {
    const { plan, shelf } = faulty(memoryShelf());
    const vault = new SealedVault(shelf, await anyKey());
    plan.push({ code: 'full', written: false });
    await failure(vault.append('a', nth(0)));
    expect(await vault.list()).toEqual(['a']);
  });

  test('keeps the events before a damaged one, and the other exams', async () => {
    const shelf = memoryShelf();
    const key = await anyKey();
    const vault = new SealedVault(shelf, key);
    for (const event of firstOnes(4)) {
      await vault.append('a', event);
      await vault.append('b', event);
    }
    const damaged: Shelf = {
      ...shelf,
      rows: async (exam) =>
        (await shelf.rows(exam)).map((row) =>
          exam === 'a' && row.index === 2 ? { ...row, sealed: row.sealed.map((b) => b ^ 1) } : row,
        ),
    };
    const reader = new SealedVault(damaged, key);
    const error = await failure(reader.load('a'));
    expect(error.code).toBe('corrupt');
    expect(error.message).toContain('Event 3 of 4');
    expect(await reader.salvage('a')).toEqual({ events: firstOnes(2), damaged: [2], total: 4 });
    expect(await reader.load('b')).toEqual(firstOnes(4));
  });
});

describe("a browser's database", () => {
  let name: string;
  let shelf: Shelf;
  let vault: SealedVault;
  const connections: IDBDatabase[] = [];
  beforeEach(async () => {
    name = `plessor-fault-${Math.random()}`;
    const open = indexedDB.open.bind(indexedDB);
    vi.spyOn(indexedDB, 'open').mockImplementation((...args) => {
      const request = open(...args);
      request.addEventListener('success', () => connections.push(request.result));
      return request;
    });
    shelf = indexedDbShelf(name);
    vault = new SealedVault(shelf, await anyKey());
  });
  afterEach(async () => {
    vi.restoreAllMocks();
    for (const connection of connections.splice(0)) connection.close();
    await shelf.close();
    indexedDB.deleteDatabase(name);
  });

  test('that was closed under the exam is opened again, and nothing is lost', async () => {
    for (const event of firstOnes(10)) {
      await vault.append('a', event);
      connections.at(-1)?.close();
    }
    expect(await vault.load('a')).toEqual(firstOnes(10));
    expect(connections.length).toBeGreaterThan(5);
  });

  test('without room says so plainly, and takes everything once there is room', async () => {
    await vault.append('a', nth(0));
    const add = vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    const error = await failure(vault.append('a', nth(1)));
    expect(error.code).toBe('full');
    expect(error.message).toContain('the exam goes on in memory');
    add.mockRestore();
    await vault.append('a', nth(2));
    expect(await vault.load('a')).toEqual(firstOnes(3));
  });

  test('of a newer program is refused and left alone', async () => {
    await vault.append('a', nth(0));
    await vault.close();
    for (const connection of connections.splice(0)) connection.close();
    const later = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open(name, 99);
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    expect((await failure(shelf.rows('a'))).code).toBe('unsupported');
    expect([...later.objectStoreNames]).toEqual([
      'attachments',
      'exams',
      'lock',
      'rows',
      'settings',
    ]);
    later.close();
  });

  test('gives way to a newer program in another window', async () => {
    await vault.append('a', nth(0));
    const upgraded = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open(name, 2);
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
      request.onblocked = () => reject(new Error('blocked by the older window'));
    });
    expect((await failure(vault.append('a', nth(1)))).code).toBe('unsupported');
    expect(vault.unsaved('a')).toEqual([nth(1)]);
    upgraded.close();
  });

  test('that does not open at all does not stop the exam', async () => {
    vi.mocked(indexedDB.open).mockImplementation(() => {
      throw new DOMException('not in this mode', 'SecurityError');
    });
    const error = await failure(vault.append('a', nth(0)));
    expect(error.code).toBe('closed');
    expect(vault.unsaved('a')).toEqual([nth(0)]);
  });
});

describe('the idle lock', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  test('locks after the time without a sign, and not while there are signs', () => {
    let locks = 0;
    const watch = lockWhenIdle(1000, () => locks++);
    for (let i = 0; i < 5; i++) {
      vi.advanceTimersByTime(900);
      watch.touch();
    }
    expect(locks).toBe(0);
    vi.advanceTimersByTime(1000);
    expect(locks).toBe(1);
    watch.stop();
  });

  test('locks at the first sign after a sleep that its timer did not count', () => {
    let locks = 0;
    let clock = 0;
    const watch = lockWhenIdle(
      1000,
      () => locks++,
      () => clock,
    );
    clock = 5000;
    watch.touch();
    expect(locks).toBe(1);
    watch.stop();
  });
});

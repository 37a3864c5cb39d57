import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { PortError } from '../ports.ts';
import { newer, relocked, taken } from './fault.ts';
import { type Lockbox, sameLockbox } from './lockbox.ts';
import { storeMessages } from './messages.ts';
import type { Bytes, Row, Shelf } from './shelf.ts';
import { within } from './within.ts';

/** Version of the database's own layout; each step of `upgrade` leads to the next. */
const layoutVersion = 1;

/** Longest wait for the database before the exam goes on without it. */
const longestWaitMs = 10_000;

interface Layout extends DBSchema {
  rows: { key: [exam: string, index: number]; value: Row };
  exams: { key: string; value: { exam: string; length: number; cover?: Bytes } };
  attachments: { key: [exam: string, name: string]; value: Bytes };
  settings: { key: string; value: Bytes };
  lock: { key: string; value: Lockbox };
}

type Database = IDBPDatabase<Layout>;

/**
 * A shelf in the browser's database. A connection that was lost or closed under it is opened anew;
 * it gives way to a newer version of the program in another window.
 *
 * @param tell takes a line when the browser found its database beyond repair and began an empty one
 */
export function indexedDbShelf(name = 'plessor', tell: (line: string) => void = () => {}): Shelf {
  let connection: Promise<Database> | undefined;

  const connect = (): Promise<Database> => {
    const opening = open(name, tell, () => {
      if (connection === opening) connection = undefined;
    });
    opening.catch(() => {
      if (connection === opening) connection = undefined;
    });
    connection = opening;
    return opening;
  };

  /** Does something with the database; once more on a new connection where the old one was dead. */
  async function use<T>(act: (database: Database) => Promise<T>): Promise<T> {
    for (let retried = false; ; retried = true) {
      const opening = connection ?? connect();
      try {
        return await within(longestWaitMs, opening.then(act), storeMessages.database.late);
      } catch (error) {
        if (retried || !isLost(error)) throw translated(error);
        if (connection === opening) connection = undefined;
        opening.then((database) => database.close()).catch(() => {});
      }
    }
  }

  return {
    add: (row) =>
      use(async (database) => {
        const change = database.transaction(['rows', 'exams'], 'readwrite', {
          durability: 'strict',
        });
        try {
          const exams = change.objectStore('exams');
          const known = await exams.get(row.exam);
          if (row.index !== (known?.length ?? 0)) throw taken();
          const next = { ...known, exam: row.exam, length: row.index + 1 };
          await Promise.all([change.objectStore('rows').add(row), exams.put(next), change.done]);
        } catch (error) {
          throw await undone(change, error);
        }
      }),
    rows: (exam) => use((database) => database.getAll('rows', everyRow(exam))),
    length: (exam) => use(async (database) => (await database.get('exams', exam))?.length ?? 0),
    setCover: (exam, cover) =>
      use(async (database) => {
        const change = database.transaction('exams', 'readwrite', { durability: 'strict' });
        try {
          const known = await change.store.get(exam);
          await Promise.all([change.store.put({ length: 0, ...known, exam, cover }), change.done]);
        } catch (error) {
          throw await undone(change, error);
        }
      }),
    exams: () =>
      use(async (database) =>
        (await database.getAll('exams')).map(({ exam, cover }) => ({ exam, cover })),
      ),
    setAttachment: (exam, name, sealed) =>
      use((database) => put(database, 'attachments', [exam, name], sealed)),
    attachment: (exam, name) => use((database) => database.get('attachments', [exam, name])),
    attachmentNames: (exam) =>
      use(async (database) =>
        (await database.getAllKeys('attachments', everyAttachment(exam))).map(([, name]) => name),
      ),
    remove: (exam) =>
      use(async (database) => {
        const change = database.transaction(['rows', 'exams', 'attachments'], 'readwrite', {
          durability: 'strict',
        });
        await Promise.all([
          change.objectStore('rows').delete(everyRow(exam)),
          change.objectStore('exams').delete(exam),
          change.objectStore('attachments').delete(everyAttachment(exam)),
          change.done,
        ]);
      }),
    setSetting: (name, sealed) => use((database) => put(database, 'settings', name, sealed)),
    setting: (name) => use((database) => database.get('settings', name)),
    lockbox: () => use((database) => database.get('lock', 'lockbox')),
    setLockbox: (lockbox, previous) =>
      use(async (database) => {
        const change = database.transaction('lock', 'readwrite', { durability: 'strict' });
        try {
          const present = await change.store.get('lockbox');
          if (!sameLockbox(present, previous)) throw relocked();
          await Promise.all([change.store.put(lockbox, 'lockbox'), change.done]);
        } catch (error) {
          throw await undone(change, error);
        }
      }),
    clear: () =>
      use(async (database) => {
        const change = database.transaction([...everyStore], 'readwrite', { durability: 'strict' });
        await Promise.all([
          ...everyStore.map((store) => change.objectStore(store).clear()),
          change.done,
        ]);
      }),
    close: async () => {
      const opening = connection;
      connection = undefined;
      (await opening?.catch(() => undefined))?.close();
    },
  };
}

const everyRow = (exam: string): IDBKeyRange =>
  IDBKeyRange.bound([exam, 0], [exam, Number.MAX_SAFE_INTEGER]);

/** All that is beside an exam: in IndexedDB an array sorts after every string. */
const everyAttachment = (exam: string): IDBKeyRange => IDBKeyRange.bound([exam, ''], [exam, []]);

const everyStore = ['rows', 'exams', 'attachments', 'settings', 'lock'] as const;

/** Puts one thing down, written through before it resolves. */
async function put<S extends 'attachments' | 'settings'>(
  database: Database,
  store: S,
  key: Layout[S]['key'],
  sealed: Bytes,
): Promise<void> {
  const change = database.transaction(store, 'readwrite', { durability: 'strict' });
  try {
    await Promise.all([change.store.put(sealed, key), change.done]);
  } catch (error) {
    throw await undone(change, error);
  }
}

/** Opens the database; `lost` is called when the connection later dies or has to give way. */
function open(name: string, tell: (line: string) => void, lost: () => void): Promise<Database> {
  return new Promise((resolve, reject) => {
    let given = false;
    const settle = () => {
      given = true;
    };
    openDB<Layout>(name, layoutVersion, {
      upgrade(database, from, _to, _change, event) {
        // Chromium alone tells.
        if ('dataLoss' in event && event.dataLoss === 'total') tell(storeMessages.database.lost);
        if (from < 1) {
          database.createObjectStore('rows', { keyPath: ['exam', 'index'] });
          database.createObjectStore('exams', { keyPath: 'exam' });
          database.createObjectStore('attachments');
          database.createObjectStore('settings');
          database.createObjectStore('lock');
        }
      },
      blocked() {
        settle();
        reject(new PortError('in-use', storeMessages.database.held));
      },
      blocking(_current, _wanted, event) {
        lost();
        (event.target as IDBDatabase).close();
      },
      terminated: lost,
    }).then((database) => {
      // Came too late: nobody waits for it, and left open it would block others.
      if (given) database.close();
      else resolve(database);
    }, reject);
  });
}

/** Takes a change back and gives the reason why it failed; the database's own where it has one. */
async function undone(
  change: { abort(): void; readonly done: Promise<void> },
  error: unknown,
): Promise<unknown> {
  if (error instanceof PortError) {
    change.done.catch(() => {});
    change.abort();
    return error;
  }
  const reason = await change.done.then(
    () => error,
    (why: unknown) => why,
  );
  return nameOf(reason) === 'AbortError' ? error : reason;
}

const nameOf = (error: unknown): string => (error instanceof Error ? error.name : '');

/** Errors of a connection that is gone, in the browsers' words for it. */
const isLost = (error: unknown): boolean =>
  ['InvalidStateError', 'AbortError', 'UnknownError', 'TransactionInactiveError'].includes(
    nameOf(error),
  );

function translated(cause: unknown): PortError {
  if (cause instanceof PortError) return cause;
  switch (nameOf(cause)) {
    case 'QuotaExceededError':
      return new PortError('full', storeMessages.database.full, { cause });
    case 'VersionError':
      return newer(cause);
    case 'ConstraintError':
      return taken(cause);
    default:
      return new PortError('closed', storeMessages.database.unusable, { cause });
  }
}

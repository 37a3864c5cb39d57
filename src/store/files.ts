import { randomUUID } from 'node:crypto';
import { type Dirent, readFileSync } from 'node:fs';
import { link, mkdir, open, readdir, readFile, rename, rm, stat, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import { PortError } from '../ports.ts';
import { relocked, taken } from './fault.ts';
import { type Lockbox, sameLockbox } from './lockbox.ts';
import { storeMessages } from './messages.ts';
import type { Bytes, Row, Shelf } from './shelf.ts';

/**
 * A shelf in a folder, for Node: a folder an exam, a file an event. A file appears under its name
 * whole and written through, or not at all, so a killed process leaves nothing half written.
 */
export function fileShelf(folder: string): Shelf {
  const exams = join(folder, 'exams');
  const settings = join(folder, 'settings');
  const lock = join(folder, 'lockbox.json');
  const place = (exam: string) => join(exams, folderName(exam));
  return {
    add: (row) =>
      tell(async () => {
        const home = place(row.exam);
        if (row.index === 0) await mkdir(home, { recursive: true });
        else if (!(await exists(join(home, rowName(row.index - 1))))) throw taken();
        await create(home, rowName(row.index), Uint8Array.of(row.version, ...row.sealed));
      }),
    rows: (exam) =>
      tell(async () => {
        const names = (await rowsIn(place(exam))).toSorted();
        return Promise.all(
          names.map(async (name): Promise<Row> => {
            const bytes = await readFile(join(place(exam), name));
            const sealed = Uint8Array.from(bytes.subarray(1));
            return { exam, index: Number.parseInt(name, 10), version: bytes[0] ?? 0, sealed };
          }),
        );
      }),
    length: (exam) => tell(async () => (await rowsIn(place(exam))).length),
    setCover: (exam, cover) =>
      tell(async () => {
        await mkdir(place(exam), { recursive: true });
        await replace(place(exam), coverName, cover);
      }),
    exams: () =>
      tell(async () => {
        const names = (await folders(exams)).filter((name) => !name.startsWith(gone));
        // A thousand small files are read at once in a fraction of the time that asking for each takes.
        const found = names.map((name) => ({
          exam: idOf(name),
          cover: readNow(join(exams, name, coverName)),
        }));
        return found.toSorted((a, b) => (a.exam < b.exam ? -1 : 1));
      }),
    setAttachment: (exam, name, sealed) =>
      tell(async () => {
        await mkdir(place(exam), { recursive: true });
        await replace(place(exam), `${folderName(name)}${attached}`, sealed);
      }),
    attachment: (exam, name) =>
      tell(() => read(join(place(exam), `${folderName(name)}${attached}`))),
    attachmentNames: (exam) =>
      tell(async () =>
        (await readdir(place(exam)).catch(noneIfMissing))
          .filter((name) => name.endsWith(attached))
          .map((name) => idOf(name.slice(0, -attached.length)))
          .toSorted(),
      ),
    setSetting: (name, sealed) =>
      tell(async () => {
        await mkdir(settings, { recursive: true });
        await replace(settings, folderName(name), sealed);
      }),
    setting: (name) => tell(() => read(join(settings, folderName(name)))),
    remove: (exam) =>
      tell(async () => {
        // Out of sight in one step, so that a killed deletion leaves no half of an exam.
        await rename(place(exam), join(exams, `${gone}${randomUUID()}`)).catch(ifMissing);
        const leftovers = (await folders(exams)).filter((name) => name.startsWith(gone));
        for (const name of leftovers) await rm(join(exams, name), { recursive: true, force: true });
      }),
    lockbox: () => tell(async () => lockboxOf(await read(lock))),
    setLockbox: (lockbox, previous) =>
      tell(async () => {
        const present = lockboxOf(await read(lock));
        if (!sameLockbox(present, previous)) throw relocked();
        await mkdir(folder, { recursive: true });
        const bytes = new TextEncoder().encode(lockboxText(lockbox));
        if (previous === undefined) await create(folder, 'lockbox.json', bytes);
        else await replace(folder, 'lockbox.json', bytes);
      }),
    clear: () =>
      tell(async () => {
        await rm(exams, { recursive: true, force: true });
        await rm(settings, { recursive: true, force: true });
        await rm(lock, { force: true });
      }),
    close: async () => {},
  };
}

const coverName = 'cover.bin';
const attached = '.attached';
const gone = '.gone-';
const rowName = (index: number): string => `${`${index}`.padStart(6, '0')}.row`;

/** A name for a folder or file from any id: ids of the usual form as they are, others by their bytes. */
function folderName(exam: string): string {
  if (/^[a-wyz0-9][a-z0-9-]{0,63}$/.test(exam)) return exam;
  return `x${Buffer.from(exam, 'utf8').toString('hex')}`;
}

const idOf = (name: string): string =>
  name.startsWith('x') ? Buffer.from(name.slice(1), 'hex').toString('utf8') : name;

const rowsIn = async (home: string): Promise<readonly string[]> =>
  (await readdir(home).catch(noneIfMissing)).filter((name) => /^\d{6,}\.row$/.test(name));

const folders = async (home: string): Promise<readonly string[]> =>
  (await readdir(home, { withFileTypes: true }).catch((e: unknown): Dirent[] => noneIfMissing(e)))
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);

const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    (error) => codeOf(error) !== 'ENOENT' && Promise.reject(error),
  );

const read = (path: string): Promise<Bytes | undefined> =>
  readFile(path).then((bytes) => Uint8Array.from(bytes), ifMissing);

function readNow(path: string): Bytes | undefined {
  try {
    return Uint8Array.from(readFileSync(path));
  } catch (error) {
    return ifMissing(error);
  }
}

/** Writes a file under its name, which must be free: `link` is the step that can be lost to another. */
async function create(home: string, name: string, bytes: Uint8Array): Promise<void> {
  const draft = await written(home, bytes);
  try {
    await link(draft, join(home, name));
  } catch (error) {
    throw codeOf(error) === 'EEXIST' ? taken(error) : error;
  } finally {
    await unlink(draft).catch(() => {});
  }
  await writeThrough(home);
}

async function replace(home: string, name: string, bytes: Uint8Array): Promise<void> {
  const draft = await written(home, bytes);
  try {
    await rename(draft, join(home, name));
  } catch (error) {
    await unlink(draft).catch(() => {});
    throw error;
  }
  await writeThrough(home);
}

/** A draft with these bytes, on the disk itself. */
async function written(home: string, bytes: Uint8Array): Promise<string> {
  const draft = join(home, `${randomUUID()}.draft`);
  const file = await open(draft, 'wx', 0o600);
  try {
    await file.writeFile(bytes);
    await file.sync();
  } catch (error) {
    await unlink(draft).catch(() => {});
    throw error;
  } finally {
    await file.close();
  }
  return draft;
}

/** Puts a folder's entries on the disk; Windows does so by itself and refuses to be asked. */
async function writeThrough(home: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(home, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : '';

function ifMissing(error: unknown): undefined {
  if (codeOf(error) !== 'ENOENT') throw error;
}

function noneIfMissing(error: unknown): never[] {
  ifMissing(error);
  return [];
}

async function tell<T>(act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (cause) {
    if (cause instanceof PortError) throw cause;
    switch (codeOf(cause)) {
      case 'ENOSPC':
      case 'EDQUOT':
        throw new PortError('full', storeMessages.folder.full, {
          cause,
        });
      case 'EACCES':
      case 'EPERM':
      case 'EROFS':
        throw new PortError('denied', storeMessages.folder.denied, {
          cause,
        });
      default:
        throw new PortError('closed', storeMessages.folder.unusable, {
          cause,
        });
    }
  }
}

const lockboxText = (lockbox: Lockbox): string =>
  JSON.stringify(lockbox, (_, value) =>
    value instanceof Uint8Array ? Buffer.from(value).toString('base64') : value,
  );

function lockboxOf(bytes: Bytes | undefined): Lockbox | undefined {
  if (bytes === undefined) return undefined;
  try {
    const raw = JSON.parse(new TextDecoder().decode(bytes));
    const part = (name: string): Bytes => Uint8Array.from(Buffer.from(raw[name], 'base64'));
    const { version, id, iterations } = raw;
    if (typeof version !== 'number' || typeof iterations !== 'number') throw new TypeError();
    return {
      version,
      id,
      iterations,
      salt: part('salt'),
      iv: part('iv'),
      wrapped: part('wrapped'),
    };
  } catch (cause) {
    throw new PortError('corrupt', storeMessages.folder.damagedLock, { cause });
  }
}

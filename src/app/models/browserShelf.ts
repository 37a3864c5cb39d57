import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { PortError } from '../../ports.ts';
import { joined } from './bytes.ts';
import { modelFaultMessages as text } from './messages.ts';
import type { ModelShelf } from './shelf.ts';

/**
 * A piece of a file: model, generation, path, and where in the file it begins. The files of an
 * installed model are of the generation that its entry names; those in progress are of the next.
 */
type PieceKey = [model: string, generation: number, path: string, from: number];

interface Shelves extends DBSchema {
  pieces: { key: PieceKey; value: Uint8Array<ArrayBuffer> };
  installed: {
    key: string;
    value: { readonly generation: number; readonly hashes: Readonly<Record<string, string>> };
  };
}

/** Models in the browser's own database, for this page's address alone. */
export async function browserShelf(): Promise<ModelShelf> {
  const db = await openDB<Shelves>('plessor-models', 1, {
    upgrade(fresh) {
      fresh.createObjectStore('pieces');
      fresh.createObjectStore('installed');
    },
  }).catch((cause: unknown) => {
    throw new PortError('denied', text.nothingKept, {
      cause,
    });
  });
  const generation = async (model: string): Promise<number> =>
    (await db.get('installed', model))?.generation ?? 0;
  const coming = async (model: string): Promise<number> => (await generation(model)) + 1;
  const shelf: ModelShelf = {
    async room() {
      const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
      return quota === undefined || usage === undefined ? undefined : quota - usage;
    },
    kept: async (model, path) => keptOf(db, model, await coming(model), path),
    async add(model, path, bytes) {
      const next = await coming(model);
      const from = await keptOf(db, model, next, path);
      await writing(() => db.put('pieces', new Uint8Array(bytes), [model, next, path, from]));
    },
    read: async (model, path) =>
      joined(await db.getAll('pieces', ofFile(model, await coming(model), path))),
    async drop(model, path) {
      await db.delete('pieces', ofFile(model, await coming(model), path));
    },
    async finish(model, hashes) {
      const now = await generation(model);
      await writing(async () => {
        const change = db.transaction(['installed', 'pieces'], 'readwrite');
        await change.objectStore('installed').put({ generation: now + 1, hashes }, model);
        await change.objectStore('pieces').delete(ofGeneration(model, now));
        await change.done;
      });
    },
    installed: async (model) => (await db.get('installed', model))?.hashes,
    async file(model, path) {
      const pieces = await db.getAll('pieces', ofFile(model, await generation(model), path));
      if (pieces.length === 0) {
        throw new PortError('not-found', text.missing(path, model));
      }
      return joined(pieces);
    },
    async remove(model) {
      const change = db.transaction(['installed', 'pieces'], 'readwrite');
      await change.objectStore('installed').delete(model);
      await change.objectStore('pieces').delete(IDBKeyRange.bound([model], [model, []]));
      await change.done;
    },
  };
  return shelf;
}

/** Keys are compared item by item; an empty list is above every number and text. */
const ofFile = (model: string, generation: number, path: string): IDBKeyRange =>
  IDBKeyRange.bound([model, generation, path], [model, generation, path, []]);
const ofGeneration = (model: string, generation: number): IDBKeyRange =>
  IDBKeyRange.bound([model, generation], [model, generation, []]);

async function keptOf(
  db: IDBPDatabase<Shelves>,
  model: string,
  generation: number,
  path: string,
): Promise<number> {
  const range = ofFile(model, generation, path);
  const last = await db.transaction('pieces').store.openCursor(range, 'prev');
  return last === null ? 0 : last.key[3] + last.value.length;
}

async function writing<T>(write: () => Promise<T>): Promise<T> {
  try {
    return await write();
  } catch (cause) {
    const full = cause instanceof DOMException && cause.name === 'QuotaExceededError';
    throw new PortError(full ? 'full' : 'denied', full ? text.full : text.notKept, { cause });
  }
}

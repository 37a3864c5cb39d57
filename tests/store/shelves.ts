import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import 'fake-indexeddb/auto';
import { fileShelf } from '../../src/store/files.ts';
import { indexedDbShelf, memoryShelf, type Shelf } from '../../src/store/index.ts';

/** Every kind of shelf. `again` is what another window or the next start of the program sees. */
export interface Place {
  readonly shelf: Shelf;
  again(): Shelf;
  away(): Promise<void>;
}

let count = 0;

export const places: readonly (readonly [name: string, make: () => Promise<Place>])[] = [
  [
    'memory',
    async () => {
      const shelf = memoryShelf();
      return { shelf, again: () => shelf, away: async () => {} };
    },
  ],
  [
    'IndexedDB',
    async () => {
      const name = `plessor-test-${++count}`;
      const open: Shelf[] = [];
      const again = () => {
        const shelf = indexedDbShelf(name);
        open.push(shelf);
        return shelf;
      };
      return {
        shelf: again(),
        again,
        away: async () => {
          await Promise.all(open.map((shelf) => shelf.close()));
          indexedDB.deleteDatabase(name);
        },
      };
    },
  ],
  [
    'a folder',
    async () => {
      const folder = await mkdtemp(join(tmpdir(), 'plessor-test-'));
      return {
        shelf: fileShelf(folder),
        again: () => fileShelf(folder),
        away: () => rm(folder, { recursive: true }),
      };
    },
  ],
];

/** A key as it is after unlocking; deriving one from a passphrase takes long on purpose. */
export const anyKey = (): Promise<CryptoKey> =>
  crypto.subtle.generateKey({ name: 'AES-GCM', length: 256 }, false, ['encrypt', 'decrypt']);

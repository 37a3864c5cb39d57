import { indexedDbShelf, type Pack, readPack, SealedVault } from '../../src/store/index.ts';
import { keyFrom, nth } from './events.ts';

/** What a test can do with a vault inside a page. Everything goes in and out as plain JSON. */
export interface VaultPage {
  /** Appends events for ever; tells the number of each as its read-back would begin. */
  examine(exam: string): Promise<void>;
  append(exam: string, n: number): Promise<string>;
  load(exam: string): Promise<unknown>;
  /** Lines that the shelf had to tell. */
  told(): readonly string[];
  /** Opens a pack given as base64. */
  openPack(base64: string, passphrase: string): Promise<Pack>;
}

declare global {
  interface Window {
    vaultPage: VaultPage;
    tell(n: number): Promise<void>;
  }
}

const raw = new Uint8Array(32).fill(7);
const told: string[] = [];
const shelf = indexedDbShelf('plessor', (line) => told.push(line));
const vault = new SealedVault(shelf, await keyFrom(raw));

window.vaultPage = {
  async examine(exam) {
    for (let n = (await vault.load(exam)).length; ; n++) {
      await vault.append(exam, nth(n));
      void window.tell(n);
    }
  },
  append: (exam, n) =>
    vault.append(exam, nth(n)).then(
      () => 'kept',
      (error) => `${error.code}: ${error.message}`,
    ),
  load: (exam) => vault.load(exam),
  told: () => told,
  openPack: (base64, passphrase) =>
    readPack(
      Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)),
      passphrase,
    ),
};

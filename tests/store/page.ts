import { openDB } from 'idb';
import { indexedDbShelf, type Pack, readPack, SealedVault } from '../../src/store/index.ts';
import { keyFrom, nth } from './events.ts';

/** What a test can do with a vault inside a page. Everything goes in and out as plain JSON. */
export interface VaultPage {
  /** Appends events for ever; tells the number of each as its read-back would begin. */
  examine(exam: string): Promise<void>;
  append(exam: string, n: number): Promise<string>;
  load(exam: string): Promise<unknown>;
  /** Puts exams there, each with a cover and so many rows that are never read. */
  fill(exams: number, rows: number): Promise<void>;
  /** Lists exams with their covers; how long that took, in ms. @throws when there are not so many */
  list(exams: number): Promise<number>;
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
  async fill(exams, rows) {
    const names = Array.from({ length: exams }, (_, i) => `exam ${i}`);
    for (const name of names) {
      await vault.setCover(name, {
        patientLabel: `bed ${name}`,
        startedAt: '2026-11-26T09:00:00Z',
      });
    }
    const database = await openDB('plessor');
    const change = database.transaction('rows', 'readwrite');
    for (const exam of names) {
      for (let index = 0; index < rows; index++) {
        const sealed = crypto.getRandomValues(new Uint8Array(300));
        void change.store.add({ exam, index, version: 1, sealed });
      }
    }
    await change.done;
    database.close();
  },
  async list(exams) {
    const from = performance.now();
    const listed = await vault.covers();
    const took = performance.now() - from;
    const whole = listed.filter(({ damaged, cover }) => !damaged && cover.patientLabel);
    if (whole.length !== exams) throw new Error(`only ${whole.length} exams were listed`);
    return took;
  },
  told: () => told,
  openPack: (base64, passphrase) =>
    readPack(
      Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)),
      passphrase,
    ),
};

import type { ExamEvent } from '../exam/index.ts';
import type { Vault } from '../ports.ts';
import { relocked, taken } from './fault.ts';
import type { Lockbox } from './lockbox.ts';
import type { Bytes, Row, Shelf } from './shelf.ts';

/** A vault that forgets: for a run that keeps nothing, and for exams before a passphrase is set. */
export function memoryVault(): Vault {
  const exams = new Map<string, readonly ExamEvent[]>();
  return {
    append: async (exam, event) => {
      exams.set(exam, [...(exams.get(exam) ?? []), event]);
    },
    load: async (exam) => exams.get(exam) ?? [],
    list: async () => [...exams.keys()].toSorted(),
    remove: async (exam) => {
      exams.delete(exam);
    },
  };
}

/** A shelf in memory, with the same rules as the ones on disk. */
export function memoryShelf(): Shelf {
  interface Shelved {
    readonly rows: Row[];
    readonly attachments: Map<string, Bytes>;
    cover: Bytes | undefined;
  }
  const exams = new Map<string, Shelved>();
  const settings = new Map<string, Bytes>();
  let lockbox: Lockbox | undefined;
  const at = (exam: string): Shelved => {
    const known: Shelved = exams.get(exam) ?? {
      rows: [],
      attachments: new Map(),
      cover: undefined,
    };
    exams.set(exam, known);
    return known;
  };
  return {
    add: async (row) => {
      const { rows } = at(row.exam);
      if (row.index !== rows.length) throw taken();
      rows.push(structuredClone(row));
    },
    rows: async (exam) => [...(exams.get(exam)?.rows ?? [])],
    length: async (exam) => exams.get(exam)?.rows.length ?? 0,
    setCover: async (exam, cover) => {
      at(exam).cover = cover.slice();
    },
    exams: async () =>
      [...exams]
        .map(([exam, { cover }]) => ({ exam, cover }))
        .toSorted((a, b) => (a.exam < b.exam ? -1 : 1)),
    setAttachment: async (exam, name, sealed) => {
      at(exam).attachments.set(name, sealed.slice());
    },
    attachment: async (exam, name) => exams.get(exam)?.attachments.get(name),
    attachmentNames: async (exam) => [...(exams.get(exam)?.attachments.keys() ?? [])].toSorted(),
    remove: async (exam) => {
      exams.delete(exam);
    },
    setSetting: async (name, sealed) => {
      settings.set(name, sealed.slice());
    },
    setting: async (name) => settings.get(name),
    lockbox: async () => lockbox,
    setLockbox: async (next, previous) => {
      if (lockbox !== previous) throw relocked();
      lockbox = next;
    },
    clear: async () => {
      exams.clear();
      settings.clear();
      lockbox = undefined;
    },
    close: async () => {},
  };
}

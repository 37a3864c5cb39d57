import type { ExamEvent } from '../exam/index.ts';
import { newer } from './fault.ts';
import { coverPlace, eventPlace, sealVersion, unseal } from './seal.ts';
import type { Bytes, Shelf } from './shelf.ts';

/** What is known of an exam without reading it. All of it is free text or comes from the exam. */
export interface Cover {
  readonly patientLabel?: string;
  readonly examiner?: string;
  /** ISO 8601; what retention counts from. */
  readonly startedAt?: string;
  readonly plan?: string;
}

export interface CoveredExam {
  readonly exam: string;
  readonly cover: Cover;
  /** The cover could not be read; the exam itself may still be whole. */
  readonly damaged: boolean;
}

/** What can still be read of a damaged exam: the events before the first damage. */
export interface Salvage {
  readonly events: readonly ExamEvent[];
  /** Places that cannot be read, counted from 0. */
  readonly damaged: readonly number[];
  /** Events that are there in all. */
  readonly total: number;
}

/** Every exam with its cover. A damaged cover hides neither its exam nor the others. */
export async function readCovers(shelf: Shelf, key: CryptoKey): Promise<readonly CoveredExam[]> {
  const read = async (exam: string, sealed: Bytes | undefined): Promise<CoveredExam> => {
    if (sealed === undefined) return { exam, cover: {}, damaged: false };
    try {
      const cover = (await unseal(key, coverPlace(exam), sealed)) as Cover;
      return { exam, cover, damaged: false };
    } catch {
      return { exam, cover: {}, damaged: true };
    }
  };
  const shelved = await shelf.exams();
  return Promise.all(shelved.map(({ exam, cover }) => read(exam, cover)));
}

/** @throws PortError `unsupported` for an exam that a newer program wrote */
export async function readEvents(shelf: Shelf, key: CryptoKey, exam: string): Promise<Salvage> {
  const rows = await shelf.rows(exam);
  if (rows.some((row) => row.version > sealVersion)) throw newer();
  const total = (rows.at(-1)?.index ?? -1) + 1;
  const read = new Array<ExamEvent | undefined>(total).fill(undefined);
  await Promise.all(
    rows.map(async ({ index, sealed }) => {
      try {
        read[index] = (await unseal(key, eventPlace(exam, index), sealed)) as ExamEvent;
      } catch {
        // Stays undefined: damaged.
      }
    }),
  );
  const damaged = read.flatMap((event, i) => (event === undefined ? i : []));
  const events = read.slice(0, damaged[0] ?? total).filter((e) => e !== undefined);
  return { events, damaged, total };
}

import type { ExamEvent } from '../exam/index.ts';
import { PortError, type Vault } from '../ports.ts';
import { locked, newer } from './fault.ts';
import { Line } from './line.ts';
import { changeLockbox, makeLockbox, openLockbox } from './lockbox.ts';

import { coverPlace, eventPlace, seal, sealVersion, unseal } from './seal.ts';
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

/**
 * Keeps exams sealed on a shelf. An event that could not be written (no room, no connection, locked)
 * stays in memory in its place and is written with the next one, so that the order on the shelf is
 * always the order of the exam; `append` rejects as long as anything is in memory only.
 */
export class SealedVault implements Vault {
  readonly #shelf: Shelf;
  #key: CryptoKey | undefined;
  readonly #lines = new Map<string, Line>();
  #last: Promise<unknown> = Promise.resolve();

  /** @param key for a vault that is open from the start; else `create` or `unlock` comes first */
  constructor(shelf: Shelf, key?: CryptoKey) {
    this.#shelf = shelf;
    this.#key = key;
  }

  get locked(): boolean {
    return this.#key === undefined;
  }

  /** Whether a passphrase was set; a new vault needs `create` before it can keep anything. */
  async exists(): Promise<boolean> {
    return (await this.#shelf.lockbox()) !== undefined;
  }

  /** Sets the first passphrase. Say `forgottenPassphrase` beforehand. */
  create(passphrase: string): Promise<void> {
    return this.#inTurn(async () => {
      const { lockbox, key } = await makeLockbox(passphrase);
      await this.#shelf.setLockbox(lockbox, undefined);
      this.#key = key;
      await this.#saveAll();
    });
  }

  /** @throws PortError `denied` for a wrong passphrase, `not-found` where none was set */
  unlock(passphrase: string): Promise<void> {
    return this.#inTurn(async () => {
      this.#key = await openLockbox(await this.#lockbox(), passphrase);
      await this.#saveAll();
    });
  }

  /** Forgets the key. What comes in until `unlock` stays in memory. */
  lock(): void {
    this.#key = undefined;
  }

  changePassphrase(passphrase: string, next: string): Promise<void> {
    return this.#inTurn(async () => {
      const lockbox = await this.#lockbox();
      await this.#shelf.setLockbox(await changeLockbox(lockbox, passphrase, next), lockbox);
    });
  }

  append(exam: string, event: ExamEvent): Promise<void> {
    return this.#inTurn(() => {
      this.#line(exam).add(event);
      return this.#save(exam);
    });
  }

  /** @throws PortError `corrupt` naming the first event that cannot be read; see `salvage` */
  load(exam: string): Promise<readonly ExamEvent[]> {
    return this.#inTurn(async () => {
      const { events, damaged, total } = await this.#read(exam);
      if (damaged.length > 0) {
        const first = (damaged[0] ?? 0) + 1;
        throw new PortError(
          'corrupt',
          `Event ${first} of ${total} of this exam is damaged; the ${first - 1} before it can be restored.`,
        );
      }
      return this.#line(exam).joinedTo(events);
    });
  }

  /** What can still be read of an exam, damaged or not. Changes nothing. */
  salvage(exam: string): Promise<Salvage> {
    return this.#inTurn(() => this.#read(exam));
  }

  async list(): Promise<readonly string[]> {
    return this.#inTurn(async () => {
      const shelved = (await this.#shelf.exams()).map(({ exam }) => exam);
      const inMemory = [...this.#lines].flatMap(([exam, l]) => (l.unsaved.length > 0 ? exam : []));
      return [...new Set([...shelved, ...inMemory])].toSorted();
    });
  }

  setCover(exam: string, cover: Cover): Promise<void> {
    return this.#inTurn(async () => {
      await this.#shelf.setCover(exam, await seal(this.#open(), coverPlace(exam), cover));
    });
  }

  /** Every exam with its cover. A damaged cover hides neither its exam nor the others. */
  covers(): Promise<readonly CoveredExam[]> {
    return this.#inTurn(async () => {
      const key = this.#open();
      const read = async (exam: string, sealed: Bytes | undefined) => {
        if (sealed === undefined) return { exam, cover: {}, damaged: false };
        try {
          const cover = (await unseal(key, coverPlace(exam), sealed)) as Cover;
          return { exam, cover, damaged: false };
        } catch {
          return { exam, cover: {}, damaged: true };
        }
      };
      const shelved = await this.#shelf.exams();
      return Promise.all(shelved.map(({ exam, cover }) => read(exam, cover)));
    });
  }

  /** Deletes an exam with its cover and whatever of it is in memory here. */
  remove(exam: string): Promise<void> {
    return this.#inTurn(async () => {
      await this.#shelf.remove(exam);
      this.#lines.delete(exam);
    });
  }

  /** Deletes the exams that started before an instant (ISO 8601); those without a date stay. */
  async removeBefore(instant: string): Promise<readonly string[]> {
    const limit = Date.parse(instant);
    const old = (await this.covers()).filter(
      ({ cover }) => cover.startedAt !== undefined && Date.parse(cover.startedAt) < limit,
    );
    for (const { exam } of old) await this.remove(exam);
    return old.map(({ exam }) => exam);
  }

  /** Deletes everything, the passphrase too: the only way on after one was forgotten. */
  clear(): Promise<void> {
    return this.#inTurn(async () => {
      await this.#shelf.clear();
      this.#lines.clear();
      this.#key = undefined;
    });
  }

  /** Events of an exam that are in memory only. */
  unsaved(exam: string): readonly ExamEvent[] {
    return this.#lines.get(exam)?.unsaved ?? [];
  }

  /**
   * Writes the exam as this window knows it under another id, after another window went another
   * way with it. The exam under its own id is then the other window's.
   */
  saveCopy(exam: string, copy: string): Promise<void> {
    return this.#inTurn(async () => {
      const { events } = await this.#read(exam);
      this.#line(copy).add(...this.#line(exam).own(events));
      this.#lines.delete(exam);
      await this.#save(copy);
    });
  }

  /** Gives this window's unsaved events up in favour of what another window wrote. */
  giveWay(exam: string): void {
    this.#lines.delete(exam);
  }

  async close(): Promise<void> {
    await this.#inTurn(() => this.#shelf.close());
    this.lock();
  }

  #line(exam: string): Line {
    const line = this.#lines.get(exam) ?? new Line(exam);
    this.#lines.set(exam, line);
    return line;
  }

  #save(exam: string): Promise<void> {
    return this.#line(exam).save(this.#shelf, this.#open());
  }

  /** Writes what gathered in memory; what still does not go stays there and says so at `append`. */
  async #saveAll(): Promise<void> {
    for (const line of this.#lines.values()) {
      if (line.unsaved.length > 0) await line.save(this.#shelf, this.#open()).catch(() => {});
    }
  }

  async #read(exam: string): Promise<Salvage> {
    const key = this.#open();
    const rows = await this.#shelf.rows(exam);
    if (rows.some((row) => row.version > sealVersion)) {
      throw newer();
    }
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

  #open(): CryptoKey {
    if (this.#key === undefined) throw locked();
    return this.#key;
  }

  async #lockbox() {
    const lockbox = await this.#shelf.lockbox();
    if (lockbox === undefined) {
      throw new PortError('not-found', 'No passphrase was set on this device yet; choose one.');
    }
    return lockbox;
  }

  /** One thing after the other, in the order they were asked for, whatever becomes of each. */
  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const turn = this.#last.then(act);
    this.#last = turn.catch(() => {});
    return turn;
  }
}

import type { ExamEvent } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import { taken } from './fault.ts';
import { eventPlace, seal, sealVersion } from './seal.ts';
import { type Row, type Shelf, sameBytes } from './shelf.ts';

/**
 * How one window stands to one exam: what of it lies on the shelf, and what is in memory only and
 * waits in its order to go down.
 */
export class Line {
  readonly #exam: string;
  readonly #unsaved: ExamEvent[] = [];
  /** Events on the shelf that this window knows of; undefined until it has looked. */
  #saved: number | undefined;
  /** The sealed row that was tried last; tried again with the same bytes, it can be told apart. */
  #tried: Row | undefined;
  /** Another window has gone another way; nothing of this one is written until that is settled. */
  #parted = false;

  constructor(exam: string) {
    this.#exam = exam;
  }

  get unsaved(): readonly ExamEvent[] {
    return [...this.#unsaved];
  }

  add(...events: readonly ExamEvent[]): void {
    this.#unsaved.push(...events);
  }

  /**
   * The exam as this window has it, given what lies on the shelf: that and what is in memory, or,
   * where another window went another way, the shelf's alone.
   */
  joinedTo(shelved: readonly ExamEvent[]): readonly ExamEvent[] {
    const moved = this.#saved !== undefined && this.#saved !== shelved.length;
    if (this.#unsaved.length > 0 && moved) this.#parted = true;
    if (this.#parted) return shelved;
    this.#saved = shelved.length;
    return [...shelved, ...this.#unsaved];
  }

  /** The exam as this window alone has it: the part on the shelf that it knows of, and its own. */
  own(shelved: readonly ExamEvent[]): readonly ExamEvent[] {
    return [...shelved.slice(0, this.#saved), ...this.#unsaved];
  }

  /** Writes what waits, oldest first, until all is down or one fails. */
  async save(shelf: Shelf, key: CryptoKey): Promise<void> {
    if (this.#parted) throw taken();
    this.#saved ??= await shelf.length(this.#exam);
    for (let event = this.#unsaved[0]; event !== undefined; event = this.#unsaved[0]) {
      const index: number = this.#saved;
      this.#tried ??= {
        exam: this.#exam,
        index,
        version: sealVersion,
        sealed: await seal(key, eventPlace(this.#exam, index), event),
      };
      await this.#put(shelf, this.#tried);
      this.#tried = undefined;
      this.#saved = index + 1;
      this.#unsaved.shift();
    }
  }

  /** Puts a row down. One that lies there already with these very bytes is an earlier try of ours. */
  async #put(shelf: Shelf, row: Row): Promise<void> {
    try {
      await shelf.add(row);
    } catch (error) {
      if (!(error instanceof PortError && error.code === 'in-use')) throw error;
      const there = (await shelf.rows(row.exam))[row.index];
      if (there !== undefined && sameBytes(there.sealed, row.sealed)) return;
      this.#parted = true;
      throw error;
    }
  }
}

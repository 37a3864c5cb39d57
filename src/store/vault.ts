import type { ExamEvent } from '../exam/index.ts';
import { PortError, type Vault } from '../ports.ts';
import { deleted, locked } from './fault.ts';
import { Line } from './line.ts';
import { changeLockbox, type Lockbox, makeLockbox, openLockbox } from './lockbox.ts';
import { storeMessages } from './messages.ts';
import { type Cover, type CoveredExam, readCovers, readEvents, type Salvage } from './reading.ts';
import {
  attachmentPlace,
  coverPlace,
  seal,
  sealBytes,
  settingPlace,
  unseal,
  unsealBytes,
} from './seal.ts';
import type { Bytes, Shelf } from './shelf.ts';

/**
 * Keeps exams sealed on a shelf. An event that could not be written (no room, no connection, locked)
 * stays in memory in its place and is written with the next one, so that the order on the shelf is
 * always the order of the exam; `append` rejects as long as anything is in memory only.
 */
export class SealedVault implements Vault {
  readonly #shelf: Shelf;
  #key: CryptoKey | undefined;
  /** The lockbox that the key came out of; absent where the key was given. */
  #lockbox: Lockbox | undefined;
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

  /** Sets the first passphrase. Say beforehand that there is no way back to a forgotten one. */
  create(passphrase: string): Promise<void> {
    return this.#inTurn(async () => {
      const { lockbox, key } = await makeLockbox(passphrase);
      await this.#shelf.setLockbox(lockbox, undefined);
      this.#key = key;
      this.#lockbox = lockbox;
      await this.#saveAll();
    });
  }

  /** @throws PortError `denied` for a wrong passphrase, `not-found` where none was set */
  unlock(passphrase: string): Promise<void> {
    return this.#inTurn(async () => {
      const lockbox = await this.#present();
      this.#key = await openLockbox(lockbox, passphrase);
      this.#lockbox = lockbox;
      await this.#saveAll();
    });
  }

  /** Forgets the key. What comes in until `unlock` stays in memory. */
  lock(): void {
    this.#key = undefined;
  }

  changePassphrase(passphrase: string, next: string): Promise<void> {
    return this.#inTurn(async () => {
      const lockbox = await this.#present();
      await this.#shelf.setLockbox(await changeLockbox(lockbox, passphrase, next), lockbox);
    });
  }

  append(exam: string, event: ExamEvent): Promise<void> {
    return this.#inTurn(() => {
      this.#line(exam).add(event);
      return this.#save(exam);
    });
  }

  /** Tries again to write what is in memory only. @throws PortError as `append` does */
  saveUnsaved(exam: string): Promise<void> {
    return this.#inTurn(async () => {
      if (this.unsaved(exam).length > 0) await this.#save(exam);
    });
  }

  /** @throws PortError `corrupt` naming the first event that cannot be read; see `salvage` */
  load(exam: string): Promise<readonly ExamEvent[]> {
    return this.#inTurn(async () => {
      const { events, damaged, total } = await this.#read(exam);
      if (damaged.length > 0) {
        const first = (damaged[0] ?? 0) + 1;
        throw new PortError('corrupt', storeMessages.damagedEvent(first, total));
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
      await this.#shelf.setCover(
        exam,
        await seal(await this.#forWriting(), coverPlace(exam), cover),
      );
    });
  }

  /** Every exam with its cover. A damaged cover hides neither its exam nor the others. */
  covers(): Promise<readonly CoveredExam[]> {
    return this.#inTurn(async () => readCovers(this.#shelf, this.#open()));
  }

  /** Keeps something beside an exam under a name: the sound of an utterance, with consent. */
  attach(exam: string, name: string, content: Bytes): Promise<void> {
    return this.#inTurn(async () => {
      const key = await this.#forWriting();
      const sealed = await sealBytes(key, attachmentPlace(exam, name), content);
      await this.#shelf.setAttachment(exam, name, sealed);
    });
  }

  attached(exam: string, name: string): Promise<Bytes | undefined> {
    return this.#inTurn(async () => {
      const key = this.#open();
      const sealed = await this.#shelf.attachment(exam, name);
      return sealed && unsealBytes(key, attachmentPlace(exam, name), sealed);
    });
  }

  attachments(exam: string): Promise<readonly string[]> {
    return this.#inTurn(() => this.#shelf.attachmentNames(exam));
  }

  /** Keeps something of the examiner's own under a name: the key that signs, an earlier choice. */
  setSetting(name: string, content: unknown): Promise<void> {
    return this.#inTurn(async () => {
      const sealed = await seal(await this.#forWriting(), settingPlace(name), content);
      await this.#shelf.setSetting(name, sealed);
    });
  }

  setting(name: string): Promise<unknown> {
    return this.#inTurn(async () => {
      const key = this.#open();
      const sealed = await this.#shelf.setting(name);
      return sealed && unseal(key, settingPlace(name), sealed);
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

  async #save(exam: string): Promise<void> {
    await this.#line(exam).save(this.#shelf, await this.#forWriting());
  }

  /** Writes what gathered in memory; what still does not go stays there and says so at `append`. */
  async #saveAll(): Promise<void> {
    for (const line of this.#lines.values()) {
      if (line.unsaved.length > 0) await line.save(this.#shelf, this.#open()).catch(() => {});
    }
  }

  async #read(exam: string): Promise<Salvage> {
    return readEvents(this.#shelf, this.#open(), exam);
  }

  /**
   * The key, where what is sealed with it can be opened again: records that were deleted under this
   * window took their lockbox along, and what is written after them would be lost without a word.
   * @throws PortError `not-found` when the lockbox is gone or another one, `denied` while locked
   */
  async #forWriting(): Promise<CryptoKey> {
    const key = this.#open();
    if (this.#lockbox === undefined) return key;
    const present = await this.#shelf.lockbox();
    if (present === undefined || present.id !== this.#lockbox.id) throw deleted();
    return key;
  }

  #open(): CryptoKey {
    if (this.#key === undefined) throw locked();
    return this.#key;
  }

  async #present(): Promise<Lockbox> {
    const lockbox = await this.#shelf.lockbox();
    if (lockbox === undefined) {
      throw new PortError('not-found', storeMessages.noPassphrase);
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

import { type ReadonlySignal, signal } from '@preact/signals';
import type { ExamEvent } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import type { Cover, SealedVault } from '../store/index.ts';
import { type Keeping, type Lock, recordsMessages as text } from '../ui/index.ts';
import { lineOf } from './fault.ts';

export interface Keeper {
  readonly lock: ReadonlySignal<Lock>;
  /** How the exam that was written to last stands to the disk. */
  readonly keeping: ReadonlySignal<Keeping>;
  /**
   * Keeps an event. The promise settles, never rejecting, once the event is on disk or known and told
   * not to be (the vault waits for no disk without limit); while nothing can be on disk there is none. What could not be written stays in memory in its
   * order, and goes down with the next event or at `again`.
   */
  keep(exam: string, event: ExamEvent): Promise<void> | undefined;
  /** Writes what is in memory only, where it can be. */
  again(exam: string): Promise<void>;
  /** Keeps what is known of an exam beside its events, from its first finding on. */
  cover(exam: string, cover: Cover): Promise<void>;
  /** An exam that lies on the disk already is gone on with. */
  known(exam: string): void;
  /** Looks whether records are here and locked. */
  look(): Promise<void>;
  create(passphrase: string): Promise<void>;
  unlock(passphrase: string): Promise<void>;
  shut(): void;
  /** Everything was deleted, the passphrase too. */
  cleared(): Promise<void>;
}

/** A disk that is slower than this is told of. What is said back waits for it all the same. */
const slowMs = 3000;

/** Keeps every event of the exam at hand in the vault, and tells how that goes. */
export function createKeeper(vault: SealedVault): Keeper {
  const lock = signal<Lock>('looking');
  const keeping = signal<Keeping>({ is: 'memory' });
  const begun = new Set<string>();
  /** The start of an exam is kept with its first finding: a page that was only opened leaves nothing. */
  const held = new Map<string, readonly ExamEvent[]>();
  const covers = new Map<string, Cover>();

  const tell = (exam: string, fault: unknown): void => {
    const inMemory = vault.unsaved(exam).length;
    // Deleted under this window: what of it was on disk is gone too.
    const deleted = fault instanceof PortError && fault.code === 'not-found';
    if (inMemory === 0 && !deleted) keeping.value = { is: 'kept' };
    else if (vault.locked) keeping.value = { is: 'memory' };
    else keeping.value = { is: 'failing', ...faultOf(fault) };
  };
  async function writeCover(exam: string): Promise<void> {
    const cover = covers.get(exam);
    if (cover !== undefined && begun.has(exam) && !vault.locked) await vault.setCover(exam, cover);
  }
  async function again(exam: string): Promise<void> {
    try {
      await vault.saveUnsaved(exam);
      await writeCover(exam);
      tell(exam, undefined);
    } catch (fault) {
      tell(exam, fault);
    }
  }

  return {
    lock,
    keeping,
    keep(exam, event) {
      if (event.type === 'started' && !begun.has(exam)) {
        held.set(exam, [...(held.get(exam) ?? []), event]);
        return undefined;
      }
      const first = !begun.has(exam);
      begun.add(exam);
      const events = [...(held.get(exam) ?? []), event];
      held.delete(exam);
      const written = Promise.allSettled(events.map((one) => vault.append(exam, one)));
      const told = written.then((outcomes) => {
        const last = outcomes.at(-1);
        tell(exam, last?.status === 'rejected' ? last.reason : undefined);
        if (first) void writeCover(exam).catch((fault: unknown) => tell(exam, fault));
      });
      if (vault.locked) return undefined;
      const late = setTimeout(() => {
        keeping.value = { is: 'failing', line: text.slowDisk, parted: false };
      }, slowMs);
      return told.finally(() => clearTimeout(late));
    },
    again,
    async cover(exam, cover) {
      covers.set(exam, cover);
      await writeCover(exam).catch((fault: unknown) => tell(exam, fault));
    },
    known(exam) {
      begun.add(exam);
      keeping.value = { is: vault.unsaved(exam).length === 0 ? 'kept' : 'memory' };
    },
    async look() {
      try {
        const here = await vault.exists();
        // The examiner may have been quicker.
        if (lock.peek() === 'looking') lock.value = here ? 'locked' : 'none';
      } catch {
        lock.value = 'unusable';
      }
    },
    async create(passphrase) {
      await vault.create(passphrase);
      lock.value = 'open';
      for (const exam of begun) await again(exam);
    },
    async unlock(passphrase) {
      await vault.unlock(passphrase);
      lock.value = 'open';
      for (const exam of begun) await again(exam);
    },
    shut() {
      if (lock.peek() !== 'open') return;
      vault.lock();
      lock.value = 'locked';
    },
    async cleared() {
      begun.clear();
      covers.clear();
      lock.value = 'looking';
      await this.look();
    },
  };
}

function faultOf(fault: unknown): { readonly line: string; readonly parted: boolean } {
  const line = fault instanceof Error ? lineOf(fault) : text.deadDisk;
  return { line, parted: fault instanceof PortError && fault.code === 'in-use' };
}

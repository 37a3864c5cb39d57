import type { CoveredExam, SealedVault } from '../store/index.ts';

const dayMs = 86_400_000;

/** A clock that moved on by more than this since the records were last open is not taken at its word. */
const longestAwayMs = 35 * dayMs;

/** How long exams are kept, and when the records were last open. */
export interface Retention {
  /** 0 for ever. */
  readonly days: number;
  /** Whether old exams may be deleted without a word: not by a clock that was set back or far ahead. */
  mayDelete(now: number): boolean;
  set(days: number): Promise<void>;
  seen(now: number): Promise<void>;
}

/** @throws PortError `denied` while the records are locked */
export async function retentionOf(vault: SealedVault): Promise<Retention> {
  const number = async (name: string): Promise<number> => {
    const kept = await vault.setting(name).catch(() => undefined);
    return typeof kept === 'number' && kept >= 0 ? kept : 0;
  };
  const days = await number('retention');
  const last = await number('last-open');
  return {
    days,
    mayDelete: (now) => days > 0 && last > 0 && now >= last && now - last <= longestAwayMs,
    set: (next) => vault.setSetting('retention', next),
    seen: (now) => vault.setSetting('last-open', now),
  };
}

/** The exams that are older than that many days; those without a date stay. */
export function dueOf(
  exams: readonly CoveredExam[],
  days: number,
  now: number,
): readonly CoveredExam[] {
  if (days === 0) return [];
  return exams.filter(({ cover }) => now - Date.parse(cover.startedAt ?? '') > days * dayMs);
}

import type { ExamEvent, ExamRecord, Ms } from '../exam/index.ts';
import type { Localization } from '../localize/result.ts';

/** Everything that the papers of one exam are written from. Nothing here is read from a clock. */
export interface Report {
  /** Id of the exam, unique among the examiner's records; ids inside exports derive from it. */
  readonly exam: string;
  readonly record: ExamRecord;
  readonly localization?: Localization;
  /** Items of the plan that nobody looked at, in the examiner's words. */
  readonly notExamined: readonly string[];
  readonly examiner?: string;
  /** Free text; no identifier is demanded. */
  readonly patientLabel?: string;
  /** When the first event happened: ISO 8601 with a zone, e.g. `2026-11-25T10:00:00Z`. */
  readonly startedAt?: string;
  /** Program version, as the device of record. */
  readonly version?: string;
}

/** What of a report is kept and can be read back; the rest is computed anew. */
export interface KeptReport {
  readonly exam: string;
  readonly record: ExamRecord;
  readonly examiner?: string;
  readonly patientLabel?: string;
  readonly startedAt?: string;
}

/** What a kept exam says of itself beside its record, and nothing else that came with it. */
export function identityOf({
  exam,
  examiner,
  patientLabel,
  startedAt,
}: KeptReport): Omit<KeptReport, 'record'> {
  return {
    exam,
    ...(examiner === undefined ? {} : { examiner }),
    ...(patientLabel === undefined ? {} : { patientLabel }),
    ...(startedAt === undefined ? {} : { startedAt }),
  };
}

/** Milliseconds from the start of the exam, whatever clock the events were stamped from. */
export function sinceStart(events: readonly ExamEvent[], at: Ms): number {
  return at - (events[0]?.at ?? at);
}

/** Latest instant that a date can hold (ECMA-262, time values). */
const lastInstant = 8.64e15;

/**
 * The instant of an event as ISO 8601 in UTC, or undefined where the start of the exam is unknown
 * or not a time.
 */
export function instantOf(
  report: Pick<Report, 'record' | 'startedAt'>,
  at: Ms,
): string | undefined {
  if (report.startedAt === undefined) return undefined;
  const instant = Date.parse(report.startedAt) + sinceStart(report.record.events, at);
  if (!Number.isFinite(instant) || Math.abs(instant) > lastInstant) return undefined;
  const text = new Date(instant).toISOString();
  // Years outside 0 to 9999 are written with six digits, which no receiver of a note expects.
  return text.length === 24 ? text : undefined;
}

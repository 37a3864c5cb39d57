import { type Checked, fold, standingFindings } from '../exam/index.ts';
import { checkEvents } from './events.ts';
import { formFaultMessages } from './messages/faults.ts';
import { identityOf, type KeptReport } from './report.ts';

/** What a record file says of itself, so that a reader knows it from any other JSON. */
export const recordFormat = 'plessor-record';
/** Version of the form in record.schema.json; a reader refuses what is newer than it knows. */
export const recordVersion = 1;

/** Largest record file that is read, in UTF-16 units; a full exam is well under 1 MB. */
export const largestRecord = 20_000_000;

/**
 * The record as JSON (record.schema.json): the findings that stand, for any other program, and
 * every event, from which everything else follows.
 */
export function toJson(report: KeptReport): string {
  return `${JSON.stringify(recordFile(report), undefined, 2)}\n`;
}

const { record: words, notText } = formFaultMessages;

const optional = ['examiner', 'patientLabel', 'startedAt'] as const;

export function recordFile(report: KeptReport) {
  return {
    format: recordFormat,
    version: recordVersion,
    ...identityOf(report),
    complete: report.record.complete,
    findings: standingFindings(report.record),
    events: report.record.events,
  };
}

const fail = (path: string, message: string): Checked<never> => ({
  ok: false,
  fault: { path, message },
});

/** Reads a record file back. The findings must be the ones that the events amount to. */
export function fromJson(text: string): Checked<KeptReport> {
  if (text.length > largestRecord) return fail('record', words.tooLong);
  const parsed = parse(text);
  if (parsed === undefined) {
    return fail('record', words.noJson);
  }
  return checkRecordFile(parsed.json);
}

/** Deepest nesting that is read; a record has 6 levels, its Bundle 10. Deeper only wears the stack. */
const deepest = 64;

/** JSON from outside, or undefined where it is none or nested beyond all use. */
export function parse(text: string): { readonly json: unknown } | undefined {
  let depth = 0;
  for (const [sign] of text.replace(/"(?:[^"\\]|\\.)*"/g, '').matchAll(/[[\]{}]/g)) {
    depth += sign === '[' || sign === '{' ? 1 : -1;
    if (depth > deepest) return undefined;
  }
  try {
    return { json: JSON.parse(text) };
  } catch {
    return undefined;
  }
}

const known = new Set([...optional, 'format', 'version', 'exam', 'complete', 'findings', 'events']);

/** The same for JSON that was parsed already. */
export function checkRecordFile(input: unknown): Checked<KeptReport> {
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return fail('record', words.none);
  }
  const raw = input as Readonly<Record<string, unknown>>;
  if (raw.format !== recordFormat) {
    return fail('record.format', words.noFormat(recordFormat));
  }
  if (typeof raw.version !== 'number' || raw.version > recordVersion) {
    return fail('record.version', words.newer);
  }
  if (raw.version !== recordVersion) return fail('record.version', words.noVersion);
  const stranger = Object.keys(raw).find((f) => !known.has(f));
  if (stranger !== undefined) return fail(`record.${stranger}`, words.noField);
  if (typeof raw.exam !== 'string' || raw.exam === '') return fail('record.exam', words.missing);
  for (const field of optional) {
    if (raw[field] !== undefined && typeof raw[field] !== 'string') {
      return fail(`record.${field}`, notText);
    }
  }
  const events = checkEvents(raw.events, 'record.events');
  if (!events.ok) return events;
  const record = fold(events.value);
  if (!sameJson(raw.findings, standingFindings(record))) {
    return fail('record.findings', words.changedFindings);
  }
  if (raw.complete !== record.complete) {
    return fail('record.complete', words.changedEnd);
  }
  return {
    ok: true,
    value: { ...identityOf(raw as unknown as KeptReport), record },
  };
}

/** Same JSON value, whatever the order of fields. */
export function sameJson(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const keys = Object.keys(a);
  if (keys.length !== Object.keys(b).length) return false;
  return keys.every(
    (k) =>
      Object.hasOwn(b, k) &&
      sameJson((a as Record<string, unknown>)[k], (b as Record<string, unknown>)[k]),
  );
}

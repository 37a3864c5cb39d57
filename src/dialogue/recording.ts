import {
  append,
  asymmetric,
  bearing,
  type Entry,
  type EntryId,
  type ExamEvent,
  type ExamRecord,
  entryFor,
  type Finding,
  type Hearing,
  itemKey,
  type Ms,
  nextEntryId,
  standingFindings,
  stands,
} from '../exam/index.ts';
import type { Strictness } from './state.ts';

/** A record with what was added to it, and the entries that now hold the findings. */
export interface Recorded {
  readonly record: ExamRecord;
  readonly events: readonly ExamEvent[];
  readonly entries: readonly EntryId[];
}

/**
 * Puts findings into the record. A finding for an item that has one already takes its place, and
 * the old stays visible as superseded; the same value said again confirms it. A correction takes
 * the place of what was read back last, when that is another item of the same kind and site (the
 * side was wrong) or else the last of them.
 */
export function recordFindings(
  record: ExamRecord,
  findings: readonly Finding[],
  hearing: Hearing,
  at: Ms,
  corrected: readonly EntryId[],
): Recorded {
  let now = record;
  const events: ExamEvent[] = [];
  const entries: EntryId[] = [];
  const put = (event: ExamEvent): void => {
    now = append(now, event);
    events.push(event);
  };
  const open = corrected
    .map((id) => record.entries.find((entry) => entry.id === id))
    .filter((entry): entry is Entry => entry !== undefined && stands(entry));
  const free = [...open];
  const take = (entry: Entry | undefined): Entry | undefined => {
    const index = entry === undefined ? -1 : free.findIndex((other) => other.id === entry.id);
    if (index >= 0) free.splice(index, 1);
    return entry;
  };
  for (const finding of findings) {
    const held = entryFor(now, itemKey(finding));
    const old =
      take(held) ??
      take(free.findLast((entry) => sameItem(entry.finding, finding))) ??
      take(findings.length === 1 ? free.at(-1) : undefined);
    if (held !== undefined && sameFinding(held.finding, finding)) {
      put({ type: 'confirmed', at, entries: [held.id], by: 'explicit' });
      entries.push(held.id);
      continue;
    }
    const entry = nextEntryId(now);
    put(
      old === undefined
        ? { type: 'recorded', at, entry, finding, hearing }
        : { type: 'corrected', at, entry, supersedes: old.id, finding, hearing },
    );
    entries.push(entry);
  }
  return { record: now, events, entries };
}

const sameItem = (a: Finding, b: Finding): boolean => a.kind === b.kind && a.site === b.site;

const sameFinding = (a: Finding, b: Finding): boolean =>
  JSON.stringify(Object.entries(a).sort()) === JSON.stringify(Object.entries(b).sort());

/**
 * Which entries a mere going on may close. What is abnormal, differs from its other side, or took
 * the place of another value waits for a word.
 */
export function closesByGoingOn(record: ExamRecord, entry: Entry, strictness: Strictness): boolean {
  if (strictness === 'every') return false;
  if (strictness === 'end') return true;
  if (bearing(entry.finding) === 'abnormal') return false;
  const changed = record.entries.some(
    ({ standing }) => standing.is === 'superseded' && standing.by === entry.id,
  );
  return !changed && !asymmetric(standingFindings(record)).includes(entry.finding);
}

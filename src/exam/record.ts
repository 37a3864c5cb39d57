import type { EntryId, ExamEvent, Hearing, Ms } from './event.ts';
import { type Finding, type ItemKey, itemKey } from './finding.ts';

/**
 * Where an entry stands. `open` was read back and not yet closed; `superseded` was replaced by a
 * later entry and stays visible; `withdrawn` was disregarded on the examiner's word.
 */
export type Standing =
  | { readonly is: 'open' }
  | { readonly is: 'confirmed'; readonly by: 'explicit' | 'implicit' }
  | { readonly is: 'superseded'; readonly by: EntryId }
  | { readonly is: 'withdrawn' };

export interface Entry {
  readonly id: EntryId;
  readonly at: Ms;
  readonly finding: Finding;
  readonly hearing: Hearing;
  readonly standing: Standing;
}

export interface ExamRecord {
  readonly events: readonly ExamEvent[];
  readonly entries: readonly Entry[];
  readonly plan: string;
  readonly complete: boolean;
}

export const emptyRecord: ExamRecord = { events: [], entries: [], plan: 'full', complete: false };

/** An entry that counts: neither superseded nor withdrawn. */
export const stands = (entry: Entry): boolean =>
  entry.standing.is === 'open' || entry.standing.is === 'confirmed';

/** The findings that count, in the order they were recorded. */
export const standingFindings = (record: ExamRecord): readonly Finding[] =>
  record.entries.filter(stands).map((entry) => entry.finding);

export const openEntries = (record: ExamRecord): readonly Entry[] =>
  record.entries.filter((entry) => entry.standing.is === 'open');

/** The entry that now holds an item, where one does. */
export const entryFor = (record: ExamRecord, key: ItemKey): Entry | undefined =>
  record.entries.findLast((entry) => stands(entry) && itemKey(entry.finding) === key);

/** The next id for an entry; ids count up and are never reused, not even after an undo. */
export function nextEntryId(record: ExamRecord): EntryId {
  let last = 0;
  for (const event of record.events) {
    if (event.type === 'recorded' || event.type === 'corrected') last = Math.max(last, event.entry);
  }
  return (last + 1) as EntryId;
}

/**
 * The state of an exam from its events. An undone event has no effect, and neither has the undoing
 * of an undo's target once that undo is itself undone, so undo and redo are the same mechanism.
 *
 * @throws RangeError when an `undone` event points at no earlier event
 */
export function fold(events: readonly ExamEvent[]): ExamRecord {
  const live = liveEvents(events);
  const { plan, complete } = emptyRecord;
  const draft: Draft = { plan, complete, entries: new Map() };
  for (const [i, event] of events.entries()) if (live[i]) take(draft, event);
  return { events, ...draft, entries: [...draft.entries.values()] };
}

/** A record while events are put to it. */
interface Draft {
  readonly entries: Map<EntryId, Entry>;
  plan: string;
  complete: boolean;
}

/** Puts an event that counts to a draft; an undo is none of those, it only silences others. */
function take(draft: Draft, event: ExamEvent): void {
  const { entries } = draft;
  const settle = (id: EntryId, standing: Standing) => {
    const entry = entries.get(id);
    if (entry !== undefined) entries.set(id, { ...entry, standing });
  };
  switch (event.type) {
    case 'started':
      draft.plan = event.plan;
      break;
    case 'recorded':
    case 'corrected': {
      const { entry: id, at, finding, hearing } = event;
      entries.set(id, { id, at, finding, hearing, standing: { is: 'open' } });
      if (event.type === 'corrected') {
        settle(event.supersedes, { is: 'superseded', by: id });
      }
      draft.complete = false;
      break;
    }
    case 'confirmed':
      for (const id of event.entries) {
        if (entries.get(id)?.standing.is === 'open') {
          settle(id, { is: 'confirmed', by: event.by });
        }
      }
      break;
    case 'withdrawn':
      for (const id of event.entries) settle(id, { is: 'withdrawn' });
      break;
    case 'completed':
      draft.complete = true;
      break;
    case 'undone':
      break;
    default:
      event satisfies never;
  }
}

/** Which events count. Read from the last to the first: a live `undone` silences its target. */
function liveEvents(events: readonly ExamEvent[]): readonly boolean[] {
  const live = events.map(() => true);
  for (let i = events.length - 1; i >= 0; i--) {
    const event = events[i];
    if (event?.type !== 'undone' || !live[i]) continue;
    if (event.event < 0 || event.event >= i) {
      throw new RangeError(`event ${i} undoes event ${event.event}, which does not come before it`);
    }
    live[event.event] = false;
  }
  return live;
}

/**
 * The record with one more event. Entries that it does not touch are the same objects as before: an exam of an
 * hour has a thousand, and only an undo reaches back among them.
 */
export function append(record: ExamRecord, event: ExamEvent): ExamRecord {
  const events = [...record.events, event];
  if (event.type === 'undone') return fold(events);
  const { plan, complete } = record;
  const draft: Draft = {
    plan,
    complete,
    entries: new Map(record.entries.map((entry) => [entry.id, entry])),
  };
  take(draft, event);
  return { events, ...draft, entries: [...draft.entries.values()] };
}

/** Index of the latest event that an undo would take back, or -1 when there is none. */
export function lastUndoable(record: ExamRecord): number {
  const live = liveEvents(record.events);
  return record.events.findLastIndex(
    (event, i) => live[i] === true && event.type !== 'undone' && event.type !== 'started',
  );
}

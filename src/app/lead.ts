import {
  type EntryId,
  type ExamRecord,
  type Finding,
  gaps,
  laterality,
  type PlanItem,
  planOf,
} from '../exam/index.ts';
import { repliesTo } from '../ui/index.ts';

/** An item as one text, for finding it again. */
export const itemId = ({ kind, site, modality }: PlanItem): string =>
  `${kind}:${site}/${modality ?? ''}`;

const same = (a: PlanItem, b: PlanItem): boolean => itemId(a) === itemId(b);

/** The next item to ask for when Plessor leads: the one begun, else the first one left. */
export function nextItem(
  record: ExamRecord,
  skipped: ReadonlySet<string>,
  current: PlanItem | undefined,
): PlanItem | undefined {
  const plan = planOf(record.plan);
  if (plan === undefined) return undefined;
  const left = gaps(record, plan).filter((item) => !skipped.has(itemId(item)));
  const begun = current && left.find((item) => same(item, current));
  return begun ?? left[0];
}

/** Whether an item asked for on its own was answered on every side since the record's `from`th event. */
export function answered(record: ExamRecord, item: PlanItem, from: number): boolean {
  const sides = repliesTo(item).map(({ side }) => side);
  const findings = record.events.flatMap((event, i) =>
    i >= from && (event.type === 'recorded' || event.type === 'corrected') ? [event.finding] : [],
  );
  const given = [...findings, ...saidAgain(record, from)].flatMap((finding) => {
    const modality = finding.kind === 'sensation' ? { modality: finding.modality } : {};
    const about = { kind: finding.kind, site: finding.site, ...modality };
    return same(about, item) ? [finding.side] : [];
  });
  if (laterality(item.kind, item.site) === 'either') return given.length > 0;
  return sides.every((side) => given.includes(side)) && given.length > 0;
}

/**
 * Findings said again with the value they had: such an event confirms what was confirmed already. A
 * "yes" to a read-back only ever confirms what was open, so it is not taken for an answer.
 */
function saidAgain(record: ExamRecord, from: number): readonly Finding[] {
  const confirmed = new Set<EntryId>();
  const again: Finding[] = [];
  for (const [i, event] of record.events.entries()) {
    if (event.type !== 'confirmed') continue;
    for (const id of event.entries) {
      const entry = record.entries.find((one) => one.id === id);
      if (i >= from && confirmed.has(id) && entry !== undefined) again.push(entry.finding);
      confirmed.add(id);
    }
  }
  return again;
}

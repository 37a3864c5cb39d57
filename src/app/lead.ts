import { type ExamRecord, gaps, laterality, type PlanItem, planOf } from '../exam/index.ts';
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
  const given = record.events.slice(from).flatMap((event) => {
    if (event.type !== 'recorded' && event.type !== 'corrected') return [];
    const { finding } = event;
    const modality = finding.kind === 'sensation' ? { modality: finding.modality } : {};
    const about = { kind: finding.kind, site: finding.site, ...modality };
    return same(about, item) ? [finding.side] : [];
  });
  if (laterality(item.kind, item.site) === 'either') return given.length > 0;
  return sides.every((side) => given.includes(side)) && given.length > 0;
}

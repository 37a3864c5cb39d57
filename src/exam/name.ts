import { examEnglish } from './english.ts';
import type { Finding, Kind } from './finding.ts';
import type { ExamMessages } from './messages.ts';
import { type PlanItem, planOf } from './plan.ts';
import type { Side } from './side.ts';

/** The name of an item without its side: "patellar", "ankle clonus", "hip flexion". */
export const itemName = (kind: Kind, site: string, messages: ExamMessages = examEnglish): string =>
  messages.item(kind, site);

/** A value as it is written: "3+", "4-", "extensor", "not tested". */
export function valueName(finding: Finding, messages: ExamMessages = examEnglish): string {
  const value = messages.value(String(finding.value));
  return finding.kind === 'clonus' && finding.beats !== undefined
    ? messages.beats(value, finding.beats)
    : value;
}

const sideOf = (side: Side, messages: ExamMessages): string | undefined =>
  side === 'midline' ? undefined : messages.sides[side];

/** A finding in one line, side first, value last: "right patellar 3+". */
export function findingName(finding: Finding, messages: ExamMessages = examEnglish): string {
  return messages.finding({
    side: sideOf(finding.side, messages),
    item: messages.item(finding.kind, finding.site),
    modality: finding.kind === 'sensation' ? messages.modalities[finding.modality] : undefined,
    value: valueName(finding, messages),
    qualifiers:
      finding.kind === 'reflex'
        ? (finding.qualifiers ?? []).map((q) => messages.qualifiers[q])
        : [],
  });
}

/** An item of a plan with the sides it is left on: "left patellar", "ankle clonus". */
export function gapName(
  { kind, site, modality, sides }: PlanItem & { readonly sides: readonly Side[] },
  messages: ExamMessages = examEnglish,
): string {
  const [side, other] = sides;
  return messages.gap({
    side: side === undefined || other !== undefined ? undefined : sideOf(side, messages),
    item: messages.item(kind, site),
    modality: modality === undefined ? undefined : messages.modalities[modality],
  });
}

/** What a plan is called; the id itself where there is no such plan. */
export function planName(
  id: string,
  messages: Pick<ExamMessages, 'plans' | 'ownPlan'> = examEnglish,
): string {
  if (Object.hasOwn(messages.plans, id)) return messages.plans[id as keyof typeof messages.plans];
  return planOf(id) === undefined ? id : messages.ownPlan;
}

/** A line of text as a voice must say it: "3+" as "three plus", "T10" as "T ten". */
export const spoken = (text: string, messages: ExamMessages = examEnglish): string =>
  messages.spoken(text);

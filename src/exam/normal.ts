import { type Finding, itemKey } from './finding.ts';
import { mirror } from './side.ts';

/** Values that say nothing is wrong, by kind; the reflex scale's common reading (Walker 1990). */
export const normalValues: Readonly<Record<Finding['kind'], readonly string[]>> = {
  reflex: ['2+'],
  clonus: ['absent'],
  plantar: ['flexor'],
  sign: ['absent'],
  superficial: ['present'],
  strength: ['5'],
  tone: ['normal'],
  bulk: ['normal'],
  fasciculation: ['absent'],
  sensation: ['normal'],
  coordination: ['normal'],
  gait: ['normal'],
  context: ['absent'],
};

/**
 * How a finding stands to the normal. Age and onset have no normal; `not-tested` is neither: it is
 * never read as normal.
 */
export function bearing(finding: Finding): 'normal' | 'abnormal' | 'not-tested' | 'neutral' {
  if (finding.value === 'not-tested') return 'not-tested';
  if (finding.kind === 'context' && (finding.site === 'age' || finding.site === 'onset')) {
    return 'neutral';
  }
  return normalValues[finding.kind].includes(String(finding.value)) ? 'normal' : 'abnormal';
}

/** The findings whose opposite side was found otherwise. */
export function asymmetric(findings: readonly Finding[]): readonly Finding[] {
  const values = new Map(findings.map((finding) => [itemKey(finding), finding.value]));
  return findings.filter((finding) => {
    if (finding.side === 'midline') return false;
    const other = values.get(itemKey({ ...finding, side: mirror(finding.side) }));
    return other !== undefined && other !== 'not-tested' && other !== finding.value;
  });
}

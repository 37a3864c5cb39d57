import { type Finding, normalValues } from '../exam/index.ts';

/** Whether a finding is what a healthy body shows. Age and onset are neither. */
export const isNormal = ({ kind, value }: Pick<Finding, 'kind' | 'value'>): boolean =>
  normalValues[kind].includes(String(value));

/** A finding that departs from normal; context that is merely told is not one. */
export const isAbnormal = (finding: Finding): boolean =>
  finding.kind !== 'context' && finding.value !== 'not-tested' && !isNormal(finding);

/** Values an examiner would speak of in one breath. */
export function groupOf(kind: string, value: string): string {
  if (kind === 'strength') return value === '5' ? '5' : 'weak';
  if (kind === 'reflex')
    return value === '0' || value === '1+' ? 'reduced' : value === '2+' ? '2+' : 'brisk';
  if (kind === 'sensation') return value === 'normal' || value === 'increased' ? value : 'reduced';
  if (kind === 'clonus') return value === 'absent' ? value : 'present';
  if (kind === 'superficial') return value === 'present' ? value : 'reduced';
  return value;
}

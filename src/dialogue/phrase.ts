import {
  type Finding,
  findingName,
  itemName,
  mirror,
  type PlanItem,
  spoken,
  valueName,
} from '../exam/index.ts';
import type { Question } from '../interpret/index.ts';

/**
 * What is said back, in a fixed order: side, site, value. Every read-back is made from the stored
 * findings, never from the words that were heard.
 */
export function readBackText(findings: readonly Finding[]): string {
  const parts: string[] = [];
  const done = new Set<Finding>();
  for (const finding of findings) {
    if (done.has(finding)) continue;
    done.add(finding);
    const twin = findings.find((other) => !done.has(other) && isTwin(finding, other));
    if (twin === undefined) {
      parts.push(findingName(finding));
    } else {
      done.add(twin);
      parts.push(findingName({ ...finding, side: 'midline' }).replace(/^/, 'both sides, '));
    }
  }
  return sentence(parts);
}

/** The same finding on the other side. */
function isTwin(a: Finding, b: Finding): boolean {
  if (a.side === 'midline' || b.side !== mirror(a.side)) return false;
  const { side: _a, ...restA } = a;
  const { side: _b, ...restB } = b;
  return JSON.stringify(restA) === JSON.stringify(restB);
}

const sentence = (parts: readonly string[]): string =>
  spoken(parts.map((part) => `${part.charAt(0).toUpperCase()}${part.slice(1)}.`).join(' '));

/** The words for a question about one slot. */
export function questionText(question: Question): string {
  const { missing, draft, rivals } = question;
  const [site] = draft.sites;
  if (draft.kind === undefined || site === undefined) return 'What should be corrected?';
  const side =
    draft.sides.length === 1 && draft.sides[0] !== 'midline' && draft.sides[0] !== 'both'
      ? `${draft.sides[0]} `
      : '';
  const item = draft.sites
    .map((one) => (draft.kind === undefined ? one : itemName(draft.kind, one)))
    .join(' and ');
  const subject = `${side}${item}`;
  const value = draft.value === undefined ? '' : ` ${String(draft.value)}`;
  switch (missing.slot) {
    case 'side':
      return ask(`${subject}${value}: left, right or both?`);
    case 'modality':
      return ask(`${subject}${value}: light touch, pinprick, temperature, vibration or position?`);
    case 'kind':
      return ask(`${subject}: reflex or strength?`);
    case 'value':
      if (missing.why === 'contradiction') {
        return ask(`${subject}: ${rivals.map(valueName).join(' or ')}?`);
      }
      return ask(`${subject}: ${choices(question)}`);
    default:
      return missing satisfies never;
  }
}

const ask = (text: string): string => spoken(text.charAt(0).toUpperCase() + text.slice(1));

/** What a value may be, asked for by the examiner's own words. */
function choices({ missing, draft }: Question): string {
  const off = missing.slot === 'value' && missing.why === 'off-scale';
  switch (draft.doubt ?? draft.kind) {
    case 'flexor-or-mute':
      return 'flexor or mute?';
    case 'spastic-or-rigid':
      return 'spastic or rigid?';
    case 'beats':
      return 'sustained, or how many beats?';
    case 'strength':
      return off ? 'strength goes from 0 to 5. Which grade?' : 'which grade, 0 to 5?';
    case 'reflex':
    case 'grade':
      return off ? 'reflexes go from 0 to 4 plus. Which grade?' : 'which grade, 0 to 4 plus?';
    default:
      return 'what is the finding?';
  }
}

/** A prompt for one item of a plan. */
export const promptText = (item: PlanItem): string => {
  const modality = item.modality === undefined ? '' : `, ${item.modality.replaceAll('-', ' ')}`;
  return ask(`${itemName(item.kind, item.site)}${modality}?`);
};

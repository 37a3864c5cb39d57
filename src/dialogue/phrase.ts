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
import { dialogueEnglish } from './english.ts';
import type { Choices, DialogueMessages } from './messages.ts';

/**
 * What is said back, in a fixed order: side, site, value. Every read-back is made from the stored
 * findings, never from the words that were heard.
 */
export function readBackText(
  findings: readonly Finding[],
  messages: DialogueMessages = dialogueEnglish,
): string {
  const parts: string[] = [];
  const done = new Set<Finding>();
  for (const finding of findings) {
    if (done.has(finding)) continue;
    done.add(finding);
    const twin = findings.find((other) => !done.has(other) && isTwin(finding, other));
    if (twin === undefined) {
      parts.push(findingName(finding, messages.names));
    } else {
      done.add(twin);
      const sideless = findingName({ ...finding, side: 'midline' }, messages.names);
      parts.push(messages.bothSides(sideless));
    }
  }
  return spoken(messages.readBack(parts), messages.names);
}

/** The same finding on the other side. */
function isTwin(a: Finding, b: Finding): boolean {
  if (a.side === 'midline' || b.side !== mirror(a.side)) return false;
  const { side: _a, ...restA } = a;
  const { side: _b, ...restB } = b;
  return JSON.stringify(restA) === JSON.stringify(restB);
}

/** The words for a question about one slot. */
export function questionText(
  question: Question,
  messages: DialogueMessages = dialogueEnglish,
): string {
  const { missing, draft, rivals } = question;
  const { kind, sites, sides } = draft;
  const [site] = sites;
  if (kind === undefined || site === undefined) return messages.text.asksCorrection;
  const { names } = messages;
  const [side] = sides;
  const subject = (value?: unknown): string =>
    messages.subject({
      side:
        sides.length === 1 && (side === 'left' || side === 'right') ? names.sides[side] : undefined,
      items: sites.map((one) => itemName(kind, one, names)),
      value: value === undefined ? undefined : String(value),
    });
  const ask = (text: string): string => spoken(text, names);
  switch (missing.slot) {
    case 'side':
      return ask(messages.asksSide(subject(draft.value)));
    case 'modality':
      return ask(messages.asksModality(subject(draft.value)));
    case 'kind':
      return ask(messages.asksKind(subject()));
    case 'value':
      if (missing.why === 'contradiction') {
        const values = rivals.map((finding) => valueName(finding, names));
        return ask(messages.asksWhich(subject(), values));
      }
      return ask(messages.asksValue(subject(), choices(question), missing.why === 'off-scale'));
    default:
      return missing satisfies never;
  }
}

/** What a value may be, asked for by the examiner's own words. */
function choices({ draft }: Question): Choices {
  const open = draft.doubt ?? draft.kind;
  switch (open) {
    case 'flexor-or-mute':
    case 'spastic-or-rigid':
    case 'beats':
    case 'strength':
      return open;
    case 'reflex':
    case 'grade':
      return 'reflex';
    default:
      return 'anything';
  }
}

/** A prompt for one item of a plan. */
export function promptText(
  { kind, site, modality }: PlanItem,
  messages: DialogueMessages = dialogueEnglish,
): string {
  const { names } = messages;
  const felt = modality === undefined ? undefined : names.modalities[modality];
  return spoken(messages.prompt(itemName(kind, site, names), felt), names);
}

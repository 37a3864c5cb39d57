import type { Asked, Dialogue } from '../dialogue/index.ts';
import {
  type Kind,
  laterality,
  laterals,
  modalities,
  onsetValues,
  type PlanItem,
  type Side,
  spoken,
  vocabulary,
} from '../exam/index.ts';

/** One answer: what the button shows, and the words that give it, spoken, typed or pressed. */
export interface Choice {
  readonly label: string;
  readonly words: string;
}

const same = (words: string): Choice => ({ label: words, words });

/** A value as it is said: "2+" as "two plus", "level" words as they are. */
const valueWords = (kind: Kind, value: string): string => {
  if (kind === 'gait' && value === 'unable') return 'unable to walk';
  if (kind === 'strength' || kind === 'reflex') return spoken(value);
  return value.replaceAll('-', ' ');
};

/** The values of an item, least to greatest, "not tested" last. */
function values(kind: Kind, site: string): readonly string[] {
  const all = kind === 'context' && site === 'onset' ? onsetValues : vocabulary[kind].values;
  // What the grammar has no words for is no answer: gait and context are told or left out.
  return kind === 'context' || kind === 'gait' ? all : [...all, 'not tested'];
}

/** The answers to what is being asked. An empty list when only free words can answer. */
export function choicesOf(asked: Asked): readonly Choice[] {
  if (asked.is === 'whether') return [same('affirm'), same('negative')];
  const { missing, draft, rivals } = asked.question;
  const kind = draft.kind;
  const [site] = draft.sites;
  switch (missing.slot) {
    case 'side':
      return [same('left'), same('right'), same('both')];
    case 'modality':
      return modalities.map((modality) => same(modality.replaceAll('-', ' ')));
    case 'kind':
      return site === undefined ? [] : [same('reflex'), same('strength')];
    case 'value': {
      if (kind === undefined || site === undefined) return [];
      const offered =
        missing.why === 'contradiction'
          ? rivals.map((finding) => String(finding.value))
          : (doubted(draft.doubt) ?? values(kind, site));
      return offered.map((value) => ({ label: value, words: valueWords(kind, value) }));
    }
    default:
      return missing satisfies never;
  }
}

/** The answers to the open question, in the order of their numbers. */
export const choicesNow = ({ asked: [first] }: Dialogue): readonly Choice[] =>
  first === undefined ? [] : choicesOf(first);

/** What a word that was said leaves open ("flexor-or-mute"). */
function doubted(doubt: string | undefined): readonly string[] | undefined {
  return doubt?.includes('-or-') ? doubt.split('-or-') : undefined;
}

/** The answers to a prompt for one item, a row a side. Age has no list: it is typed or said. */
export function repliesTo(
  item: PlanItem,
): readonly { readonly side: Side; readonly choices: readonly Choice[] }[] {
  if (item.kind === 'context' && item.site === 'age') return [];
  const paired = laterality(item.kind, item.site) === 'paired' || item.kind === 'sensation';
  const sides: readonly Side[] = paired ? laterals : ['midline'];
  return sides.map((side) => ({
    side,
    choices: values(item.kind, item.site).map((value) => {
      const words = valueWords(item.kind, value);
      return { label: value, words: side === 'midline' ? words : `${side} ${words}` };
    }),
  }));
}

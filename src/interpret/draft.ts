import type { Finding, Kind, Modality, Side } from '../exam/index.ts';
import type { Reading } from '../grammar/index.ts';

/** What is said of sides in speech: "both" stands for a finding on each. */
export type SpokenSide = Side | 'both';

/**
 * A finding in the making: what the words gave so far. Several sites, sides or modalities mean a
 * finding for each.
 */
export interface Draft {
  readonly kind: Kind | undefined;
  readonly sites: readonly string[];
  readonly sides: readonly SpokenSide[];
  readonly modalities: readonly Modality[];
  readonly value: string | number | undefined;
  readonly qualifiers: readonly string[];
  readonly beats: number | undefined;
  /** What was left open, by the grammar's own word for it, e.g. `flexor-or-mute`. */
  readonly doubt: string | undefined;
  /** The scale that what was said lies outside of. */
  readonly off: string | undefined;
}

export const emptyDraft: Draft = {
  kind: undefined,
  sites: [],
  sides: [],
  modalities: [],
  value: undefined,
  qualifiers: [],
  beats: undefined,
  doubt: undefined,
  off: undefined,
};

/** What a sentence says: drafts in the order spoken, or a command, and whether it corrects. */
export interface Said {
  readonly drafts: readonly Draft[];
  readonly command: string | undefined;
  readonly correction: boolean;
}

type Slots = { -readonly [K in keyof Draft]: Draft[K] };

/** Keys whose values gather until an `item` closes, and are replaced by the next said after it. */
const gathering = { site: 'sites', side: 'sides', modality: 'modalities' } as const;

/**
 * Folds the tags of a reading into drafts. A tag holds words such as `kind=reflex site=jaw`; `item`
 * closes a draft, `new` starts afresh. What was said before an `item` holds for the next one too
 * until it is said anew, so "right patellar three plus, left two plus" is two drafts of one site.
 * A side spoken before its site also holds for later findings of the same breath.
 */
export function said(reading: Reading, start: Draft = emptyDraft): Said {
  const drafts: Draft[] = [];
  let slots: Slots = { ...start };
  let closed = new Set<string>(Object.keys(gathering));
  let number = 0;
  let counted = false;
  let leading: readonly SpokenSide[] = [];
  let leads = true;
  let command: string | undefined;
  let correction = false;
  const put = (key: string, value: string): void => {
    switch (key) {
      case 'kind':
        slots.kind = value as Kind;
        return;
      case 'site':
      case 'side':
      case 'modality': {
        if (key === 'site' && slots.sides.length === 0) leads = false;
        const list = gathering[key];
        const before: readonly string[] = closed.delete(key) ? [] : slots[list];
        Object.assign(slots, { [list]: [...before, value] });
        return;
      }
      case 'value':
        slots.value = value;
        return;
      case 'qualifier':
        slots.qualifiers = [...slots.qualifiers, value];
        return;
      case 'number':
        number += Number(value);
        counted = true;
        return;
      case 'beats':
        slots.beats = number;
        number = 0;
        counted = false;
        return;
      case 'doubt':
      case 'off':
        slots[key] = value;
        return;
      case 'command':
        command = value;
        return;
      case 'correction':
        correction = true;
        return;
      case 'new':
        if (slots.sides.length > 0) leading = leads ? slots.sides : [];
        slots = { ...start };
        closed = new Set(Object.keys(gathering));
        leads = true;
        return;
      case 'item': {
        if (counted) slots.value = number;
        const sides = slots.sides.length > 0 ? slots.sides : leading;
        drafts.push({ ...slots, sides });
        const { value: _, qualifiers, beats, doubt, off, ...lasting } = slots;
        slots = { ...emptyDraft, ...lasting };
        closed = new Set(Object.keys(gathering));
        number = 0;
        counted = false;
        return;
      }
      default:
        throw new RangeError(`the grammar has a tag "${key}" that nothing understands`);
    }
  };
  for (const { mark } of reading) {
    if (mark.is !== 'tag') continue;
    for (const word of mark.text.split(/\s+/)) {
      const [key = '', value = ''] = word.split('=', 2);
      put(key, value);
    }
  }
  return { drafts, command, correction };
}

/** A finding as a draft, so that a correction can say again only what was wrong of it. */
export function draftOf(finding: Finding): Draft {
  return {
    ...emptyDraft,
    kind: finding.kind,
    sites: [finding.site],
    sides: [finding.side],
    modalities: finding.kind === 'sensation' ? [finding.modality] : [],
    value: finding.value,
    qualifiers: finding.kind === 'reflex' ? (finding.qualifiers ?? []) : [],
    beats: finding.kind === 'clonus' ? finding.beats : undefined,
  };
}

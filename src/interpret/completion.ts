import { checkFinding, type Finding, laterality, laterals, type Side } from '../exam/index.ts';
import type { Draft, SpokenSide } from './draft.ts';

/** The one thing that is missing from a draft, or cannot be taken as it was said. */
export type Missing =
  | { readonly slot: 'side' }
  | { readonly slot: 'modality' }
  | { readonly slot: 'value'; readonly why: 'unsaid' | 'off-scale' | 'open' }
  | { readonly slot: 'kind' }
  /** Two values for one item in one breath. */
  | { readonly slot: 'value'; readonly why: 'contradiction' };

export type Completed =
  | { readonly is: 'complete'; readonly findings: readonly Finding[] }
  | { readonly is: 'missing'; readonly missing: Missing; readonly draft: Draft };

/** Beats from which clonus counts as sustained (DeGowin 1987: ten or more). */
const sustainedBeats = 10;

/** The findings a draft amounts to, or what is missing. Nothing is ever filled in by guess. */
export function complete(draft: Draft): Completed {
  const missing = (what: Missing): Completed => ({ is: 'missing', missing: what, draft });
  const { kind, sites, modalities } = draft;
  if (kind === undefined || sites.length === 0) return missing({ slot: 'kind' });
  if (draft.doubt?.endsWith('reflex-or-strength')) return missing({ slot: 'kind' });
  if (draft.off !== undefined) return missing({ slot: 'value', why: 'off-scale' });
  if (draft.doubt !== undefined) return missing({ slot: 'value', why: 'open' });
  const value = draft.value ?? valueOfBeats(draft);
  if (value === undefined) return missing({ slot: 'value', why: 'unsaid' });
  if (kind === 'sensation' && modalities.length === 0) return missing({ slot: 'modality' });

  const findings: Finding[] = [];
  for (const site of sites) {
    const sides = sidesOf(draft, site);
    if (sides === undefined) return missing({ slot: 'side' });
    for (const side of sides) {
      for (const modality of kind === 'sensation' ? modalities : [undefined]) {
        const checked = checkFinding({
          kind,
          site,
          side,
          value,
          ...(draft.qualifiers.length > 0 ? { qualifiers: draft.qualifiers } : {}),
          ...(modality === undefined ? {} : { modality }),
          ...(draft.beats === undefined ? {} : { beats: draft.beats }),
        });
        if (!checked.ok) return missing({ slot: 'value', why: 'off-scale' });
        findings.push(checked.value);
      }
    }
  }
  return { is: 'complete', findings };
}

/** Muscles that share their name with a tendon reflex. */
const muscleOf: Readonly<Record<string, string>> = {
  biceps: 'elbow-flexion',
  triceps: 'elbow-extension',
  brachioradialis: 'brachioradialis',
};

/**
 * A draft that was said without telling reflex from strength, once that is told. The same spoken
 * "two" is 2+ of a reflex and 2 of strength, and "normal" is 2+ of the one and 5 of the other.
 */
export function asKind(draft: Draft, kind: Draft['kind']): Draft {
  const settled = { ...draft, kind, doubt: undefined };
  const normal = draft.doubt?.startsWith('normal') ?? false;
  if (kind !== 'strength') return normal ? { ...settled, value: '2+' } : settled;
  return {
    ...settled,
    sites: draft.sites.map((site) => muscleOf[site] ?? site),
    value: normal ? '5' : String(draft.value ?? '').replace('+', ''),
  };
}

function valueOfBeats(draft: Draft): string | undefined {
  if (draft.kind !== 'clonus' || draft.beats === undefined) return undefined;
  return draft.beats >= sustainedBeats ? 'sustained' : 'unsustained';
}

/** The sides an item is recorded on, or undefined when one must be asked for. */
function sidesOf(draft: Draft, site: string): readonly Side[] | undefined {
  const { kind, sides } = draft;
  if (kind === undefined) return undefined;
  const lateral = laterality(kind, site);
  if (lateral === 'midline') return ['midline'];
  const said = [...new Set(sides.flatMap(spread))];
  if (lateral === 'paired') {
    const real = said.filter((side) => side !== 'midline');
    return real.length > 0 ? real : undefined;
  }
  if (said.length > 0) return said;
  // Told without a side: a skin area that spans both sides means both, a gait means the person.
  return kind === 'sensation' ? laterals : ['midline'];
}

const spread = (side: SpokenSide): readonly Side[] => (side === 'both' ? laterals : [side]);

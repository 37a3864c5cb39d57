import type { ExamPlan, PlanItem } from './plan.ts';
import { modalities } from './scale.ts';
import { kinds, vocabulary } from './vocabulary.ts';

/** All that a plan of one's own can ask for, kind by kind. A sensory level is found, not asked for. */
export const planItems: readonly PlanItem[] = kinds.flatMap((kind) =>
  vocabulary[kind].sites
    .filter((site) => !site.startsWith('level-'))
    .flatMap((site): readonly PlanItem[] =>
      kind === 'sensation'
        ? modalities.map((modality) => ({ kind, site, modality }))
        : [{ kind, site }],
    ),
);

/** `kind:site`, and for sensation `kind:site/modality`. */
export const planItemId = ({ kind, site, modality }: PlanItem): string =>
  `${kind}:${site}${modality === undefined ? '' : `/${modality}`}`;

const known: ReadonlyMap<string, PlanItem> = new Map(
  planItems.map((item) => [planItemId(item), item]),
);

const begins = 'own:';

/**
 * The id of a plan of these items, in the order of the vocabulary whatever theirs. It names the items
 * themselves: a record tells what was to be examined, though the plan was changed since.
 */
export function ownPlanId(items: readonly string[]): string {
  const wanted = new Set(items);
  return begins + [...known.keys()].filter((id) => wanted.has(id)).join(',');
}

/** The plan of such an id; nothing where the id is another, or names what is not in the vocabulary. */
export function ownPlanOf(id: string): ExamPlan | undefined {
  if (!id.startsWith(begins)) return undefined;
  const ids = id.slice(begins.length).split(',');
  const items = ids.flatMap((one) => known.get(one) ?? []);
  if (items.length !== ids.length) return undefined;
  return { id, items };
}

import { type Finding, itemKey, type Kind } from './finding.ts';
import { ownPlanOf } from './ownPlan.ts';
import { type ExamRecord, standingFindings } from './record.ts';
import type { Modality } from './scale.ts';
import { laterals, type Side } from './side.ts';
import { laterality } from './vocabulary.ts';

/** One thing an exam plan asks for, on both sides where it has two. */
export interface PlanItem {
  readonly kind: Kind;
  readonly site: string;
  readonly modality?: Modality;
}

/** The plans that the program brings. */
export type PlanId =
  | 'reflexes'
  | 'arm-roots'
  | 'leg-roots'
  | 'cord'
  | 'neuropathy'
  | 'magnesium'
  | 'full';

export interface ExamPlan {
  readonly id: string;
  readonly items: readonly PlanItem[];
  /** A watch: all of it is asked for again this many minutes after the latest finding. */
  readonly repeatMin?: number;
}

const list = (kind: Kind, ...sites: readonly string[]): readonly PlanItem[] =>
  sites.map((site) => ({ kind, site }));
const skin = (modality: Modality, ...sites: readonly string[]): readonly PlanItem[] =>
  sites.map((site) => ({ kind: 'sensation', site, modality }));

const armReflexes = list('reflex', 'biceps', 'brachioradialis', 'triceps');
const legReflexes = list('reflex', 'patellar', 'achilles');
const plantars = list('plantar', 'foot');
/** The ten key muscles of the International Standards (ISNCSCI 2019), C5 to T1 and L2 to S1. */
const armKeyMuscles = list(
  'strength',
  'elbow-flexion',
  'wrist-extension',
  'elbow-extension',
  'finger-flexion',
  'finger-abduction',
);
const legKeyMuscles = list(
  'strength',
  'hip-flexion',
  'knee-extension',
  'ankle-dorsiflexion',
  'great-toe-extension',
  'ankle-plantarflexion',
);

/** Exam plans in bedside order. What each holds is common practice, no source, but key muscles. */
export const plans: readonly (ExamPlan & { readonly id: PlanId })[] = [
  {
    id: 'reflexes',
    items: [...armReflexes, ...legReflexes, ...plantars, ...list('clonus', 'ankle')],
  },
  {
    id: 'arm-roots',
    items: [
      ...list('strength', 'shoulder-abduction'),
      ...armKeyMuscles,
      ...armReflexes,
      ...skin('pinprick', 'C5', 'C6', 'C7', 'C8', 'T1'),
      ...list('sign', 'hoffmann', 'spurling'),
    ],
  },
  {
    id: 'leg-roots',
    items: [
      ...legKeyMuscles,
      ...list('strength', 'hip-abduction', 'ankle-inversion', 'ankle-eversion', 'knee-flexion'),
      ...list('reflex', 'patellar', 'medial-hamstring', 'achilles'),
      ...plantars,
      ...skin('pinprick', 'L2', 'L3', 'L4', 'L5', 'S1', 'saddle'),
      ...list('sign', 'straight-leg-raise'),
    ],
  },
  {
    id: 'cord',
    items: [
      ...armKeyMuscles,
      ...legKeyMuscles,
      ...list('reflex', 'jaw'),
      ...armReflexes,
      ...legReflexes,
      ...plantars,
      ...list('clonus', 'ankle'),
      ...list('sign', 'hoffmann', 'romberg'),
      ...list('tone', 'lower-limb'),
      ...skin('pinprick', 'whole-upper-limb', 'trunk', 'whole-lower-limb', 'saddle'),
      ...skin('joint-position', 'great-toe'),
      ...list('context', 'bladder-bowel'),
    ],
  },
  {
    id: 'neuropathy',
    items: [
      ...legReflexes,
      ...armReflexes,
      ...list('strength', 'great-toe-extension', 'ankle-dorsiflexion', 'finger-abduction'),
      ...skin('vibration', 'great-toe'),
      ...skin('joint-position', 'great-toe'),
      ...skin('pinprick', 'stocking', 'glove'),
      ...list('gait', 'gait'),
      ...list('sign', 'romberg'),
    ],
  },
  {
    id: 'magnesium',
    // Hourly, from memory; local guidance decides.
    repeatMin: 60,
    items: [...list('reflex', 'patellar'), ...list('context', 'respiratory-difficulty')],
  },
  {
    id: 'full',
    items: [
      ...list('tone', 'upper-limb', 'lower-limb'),
      ...list('strength', 'shoulder-abduction'),
      ...armKeyMuscles,
      ...legKeyMuscles,
      ...armReflexes,
      ...legReflexes,
      ...plantars,
      ...skin('light-touch', 'whole-upper-limb', 'whole-lower-limb'),
      ...skin('pinprick', 'whole-upper-limb', 'whole-lower-limb'),
      ...skin('vibration', 'great-toe'),
      ...list('coordination', 'upper-limb', 'lower-limb'),
      ...list('gait', 'gait'),
    ],
  },
];

/** A plan by its id, the examiner's own among them. */
export const planOf = (id: string): ExamPlan | undefined =>
  plans.find((plan) => plan.id === id) ?? ownPlanOf(id);

/** An item of a plan with the sides on which it was not examined. */
export interface Gap extends PlanItem {
  readonly sides: readonly Side[];
}

/** What is left of the plan that an exam follows; nothing where the plan is not known. */
export function gapsOf(record: ExamRecord): readonly Gap[] {
  const plan = planOf(record.plan);
  return plan === undefined ? [] : gaps(record, plan);
}

/**
 * What of a plan has no finding. "Not tested" is a finding: it was said, so it is not asked again.
 * Sensation of a smaller area than the plan's counts as examined when any area was, by modality.
 */
export function gaps(record: ExamRecord, plan: ExamPlan): readonly Gap[] {
  const findings = standingFindings(record);
  const keys = new Set(findings.map(itemKey));
  const found: Gap[] = [];
  for (const item of plan.items) {
    const sides: readonly Side[] =
      laterality(item.kind, item.site) === 'paired' || item.kind === 'sensation'
        ? laterals
        : ['midline'];
    const open = sides.filter((side) => !examined(item, side));
    if (open.length === 0) continue;
    found.push({ ...item, sides: open });
  }
  return found;

  function examined(item: PlanItem, side: Side): boolean {
    if (item.kind !== 'sensation') {
      // Told on one side, or on none, as the examiner will: once is enough.
      if (laterality(item.kind, item.site) === 'either') {
        return findings.some((f) => f.kind === item.kind && f.site === item.site);
      }
      return keys.has(itemKey({ ...item, side, value: 'not-tested' } as Finding));
    }
    return findings.some(
      (f) =>
        f.kind === 'sensation' &&
        f.modality === item.modality &&
        (f.side === side || f.side === 'midline') &&
        (f.site === item.site || !isArea(item.site)),
    );
  }
}

/** Areas that a plan asks for by name; the others are whole limbs, met by any area examined. */
const isArea = (site: string): boolean => !site.startsWith('whole-') && site !== 'trunk';

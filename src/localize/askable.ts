import { patchOf } from '../anatomy/index.ts';
import { type Finding, type MrcGrade, mrcGrades, type SkinRegion } from '../exam/index.ts';
import { type Item, itemId, itemOf } from './item.ts';

const below = (grade: MrcGrade, than: MrcGrade): boolean =>
  mrcGrades.indexOf(grade) < mrcGrades.indexOf(than);

/** Muscles that must hold against gravity (3 or better) for a test to be done at all. */
const needs: Readonly<Record<string, readonly string[]>> = {
  'sign:pronator-drift': ['shoulder-abduction', 'elbow-extension'],
  'coordination:upper-limb': ['shoulder-abduction', 'elbow-flexion'],
  'coordination:lower-limb': ['hip-flexion'],
  'sign:romberg': ['hip-flexion', 'hip-extension', 'knee-extension'],
  'gait:gait': ['hip-flexion', 'hip-extension', 'knee-extension'],
};

/** Signs that need the arc of a reflex: with that reflex lost their answer is known. */
const needsArc: Readonly<Record<string, string>> = {
  'clonus:ankle': 'achilles',
  'clonus:patellar': 'patellar',
  'clonus:wrist': 'finger-flexor',
  'sign:hoffmann': 'finger-flexor',
  'sign:tromner': 'finger-flexor',
};

/** Of two signs that exclude each other, or are one sign by two names, the other one. */
const answered: Readonly<Record<string, string>> = {
  'facial-weakness-lower': 'facial-weakness-whole',
  'facial-weakness-whole': 'facial-weakness-lower',
  hoffmann: 'tromner',
  tromner: 'hoffmann',
};

const feet: ReadonlySet<string> = new Set([
  'sole',
  'great-toe',
  'dorsum-of-foot',
  'lateral-foot',
  'first-web-space',
]);
const hands: ReadonlySet<string> = new Set([
  'thumb',
  'middle-finger',
  'little-finger',
  'palm',
  'dorsum-of-hand',
]);

/** Whether a distribution that was tried over takes in this patch of skin. */
function takesIn(distribution: string, site: string): boolean {
  if (site === distribution) return true;
  const own = site === 'face' || site.startsWith('level-') ? undefined : limbOf(site);
  switch (distribution) {
    case 'stocking':
      return feet.has(site);
    case 'glove':
      return hands.has(site);
    case 'whole-upper-limb':
      return own === 'arm' || site === 'glove';
    case 'whole-lower-limb':
      return own === 'leg' || site === 'stocking';
    case 'hemibody':
      return own !== undefined || site === 'stocking' || site === 'glove';
    default:
      return false;
  }
}

const limbOf = (site: string): string | undefined =>
  (patchOf(site as Exclude<SkinRegion, 'face'>) as { readonly limb: string } | undefined)?.limb;

/**
 * Whether an item is worth asking for at this bedside: not when it was done, was said not to be
 * testable, cannot be done by this patient (no drift in an arm that does not lift), or is known from
 * what was found (no clonus without the jerk).
 *
 * @param tested everything recorded, what was said not to be testable too; of two about one item the later counts
 */
export function askable(tested: readonly Finding[]): (item: Item) => boolean {
  const done = new Map(tested.map((finding) => [itemId(itemOf(finding)), finding]));
  const found = (kind: string, site: string, side: Finding['side']): Finding | undefined =>
    done.get(itemId({ kind: kind as Item['kind'], site, side }));
  const skin = tested.filter((f) => f.kind === 'sensation' && f.value !== 'not-tested');
  const cannotWalk = tested.some((f) => f.kind === 'gait' && f.value === 'unable');
  return (item) => {
    if (done.has(itemId(item))) return false;
    const key = `${item.kind}:${item.site}`;
    const sides = item.side === 'midline' ? (['left', 'right'] as const) : ([item.side] as const);
    const tooWeak = sides.some((side) =>
      (needs[key] ?? []).some((movement) => {
        const grade = found('strength', movement, side)?.value;
        return grade !== undefined && grade !== 'not-tested' && below(grade as MrcGrade, '3');
      }),
    );
    if (tooWeak || (item.site === 'romberg' && cannotWalk)) return false;
    const arc = needsArc[key];
    if (arc !== undefined && found('reflex', arc, item.side)?.value === '0') return false;
    const other = item.kind === 'sign' ? answered[item.site] : undefined;
    if (other !== undefined && found('sign', other, item.side)?.value === 'present') return false;
    return !(
      item.kind === 'sensation' &&
      skin.some(
        (f) =>
          f.kind === 'sensation' &&
          f.side === item.side &&
          f.modality === item.modality &&
          takesIn(f.site, item.site),
      )
    );
  };
}

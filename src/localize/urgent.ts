import { movementTable } from '../anatomy/index.ts';
import { type Finding, type Lateral, laterals } from '../exam/index.ts';
import type { LocalizeMessages, Urgent } from './messages/argument.ts';
import { isAbnormal } from './normal.ts';
import type { Caution } from './result.ts';

/** Findings by what they say, for patterns that cannot wait. */
export interface Picture {
  readonly all: readonly Finding[];
  /** Probability of each group of sites, by its name. */
  readonly share: ReadonlyMap<string, number>;
}

const told = (findings: readonly Finding[], site: string): Finding | undefined =>
  findings.find((f) => f.kind === 'context' && f.site === site && f.value === 'present');

const onset = (findings: readonly Finding[]): string | undefined => {
  const found = findings.find((f) => f.kind === 'context' && f.site === 'onset');
  return found === undefined ? undefined : String(found.value);
};

const saddleSites = new Set(['saddle', 'S2', 'S3', 'S4', 'S5']);
const legSkin = new Set([
  'L2',
  'L3',
  'L4',
  'L5',
  'S1',
  'anterior-thigh',
  'medial-leg',
  'lateral-leg',
  'dorsum-of-foot',
  'lateral-foot',
  'sole',
  'great-toe',
  'whole-lower-limb',
]);
const legReflexes = new Set([
  'adductor',
  'patellar',
  'medial-hamstring',
  'lateral-hamstring',
  'achilles',
]);
const weakened = (f: Finding): boolean =>
  f.kind === 'strength' && isAbnormal(f) && f.value !== '5-';
const inLimb = (f: Finding, limb: 'arm' | 'leg'): boolean =>
  f.kind === 'strength' && movementTable[f.site].limb === limb;
const low = (f: Finding): boolean => f.kind === 'reflex' && (f.value === '0' || f.value === '1+');
const high = (f: Finding): boolean => f.kind === 'reflex' && (f.value === '3+' || f.value === '4+');
const extensor = (f: Finding): boolean => f.kind === 'plantar' && f.value === 'extensor';
const numb = (f: Finding): boolean =>
  f.kind === 'sensation' && (f.value === 'reduced' || f.value === 'absent');

/** Patterns that are said first, before any ranking; each from the findings themselves. */
export function urgentCautions(
  { all, share }: Picture,
  messages: LocalizeMessages,
): readonly Caution[] {
  const cautions: Caution[] = [];
  const say = (
    urgency: Caution['urgency'],
    pattern: Urgent,
    because: readonly (Finding | undefined)[],
  ): void => {
    cautions.push({
      urgency,
      text: messages.urgent[pattern],
      because: because.filter((f) => f !== undefined),
    });
  };
  const began = onset(all);
  const slow = began === 'months' || began === 'years';

  // Saddle or sphincter with leg signs.
  const saddle = all.filter((f) => numb(f) && saddleSites.has(f.site) && f.site !== 'S2');
  const sphincter = told(all, 'bladder-bowel');
  const anal = all.filter(
    (f) =>
      f.kind === 'superficial' &&
      (f.site === 'anal' || f.site === 'bulbocavernosus') &&
      f.value === 'absent',
  );
  const legs = all.filter(
    (f) =>
      (weakened(f) && inLimb(f, 'leg')) ||
      (f.kind === 'reflex' && legReflexes.has(f.site) && isAbnormal(f)) ||
      (numb(f) && legSkin.has(f.site)) ||
      (f.kind === 'sign' && f.site === 'straight-leg-raise' && f.value === 'present'),
  );
  const below = [...saddle, ...anal];
  if (below.length > 0 || (sphincter !== undefined && legs.length > 0)) {
    say('now', below.length > 0 ? 'saddle' : 'sphincter', [...below, sphincter, ...legs]);
  }

  // Weakness on both sides with falling reflexes, and breathing or swallowing in trouble.
  const breathing = told(all, 'respiratory-difficulty');
  const swallowing = told(all, 'dysphagia');
  const bulbar = [
    breathing,
    swallowing,
    ...all.filter(
      (f) =>
        f.kind === 'sign' &&
        (f.site === 'facial-weakness-whole' || f.site === 'dysarthria') &&
        f.value === 'present',
    ),
  ].filter((f) => f !== undefined);
  const weakBothSides = laterals.every((side) => all.some((f) => weakened(f) && f.side === side));
  const lowReflexes = all.filter(low);
  const quick = began === undefined || began === 'sudden' || began === 'days' || began === 'weeks';
  if (weakBothSides && lowReflexes.length >= 2 && !slow) {
    if (bulbar.length > 0) {
      say('now', 'breathingMayFail', [...bulbar, ...lowReflexes, ...all.filter(weakened)]);
    } else if (quick && (share.get('polyneuropathy:demyelinating') ?? 0) > 0.2) {
      say('now', 'climbing', [...lowReflexes, ...all.filter(weakened)]);
    }
  } else if (
    breathing !== undefined &&
    all.some(
      (f) =>
        weakened(f) ||
        (f.kind === 'sign' && f.site === 'fatigable-weakness' && f.value === 'present'),
    )
  ) {
    say('now', 'breathingWeak', [breathing, ...all.filter(weakened)]);
  }

  // Magnesium.
  const magnesium = told(all, 'magnesium-infusion');
  if (magnesium !== undefined && lowReflexes.length > 0) {
    say('now', 'magnesium', [magnesium, ...lowReflexes]);
  }

  // Sudden one-sided upper motor signs.
  const hemi = laterals.find((side) => oneSided(all, side));
  const brainShare = ['hemisphere', 'internal-capsule', 'brainstem'].reduce(
    (sum, g) => sum + (share.get(g) ?? 0),
    0,
  );
  if (began === 'sudden' && (hemi !== undefined || brainShare > 0.3)) {
    const because = all.filter(
      (f) => isAbnormal(f) && (hemi === undefined || f.side !== other(hemi)),
    );
    say('now', 'stroke', because);
  }

  // A new sensory level, or a weak leg where the findings point to the cord.
  const level = all.filter((f) => numb(f) && f.site.startsWith('level-'));
  const legsReleased = laterals.every((side) =>
    all.some((f) => f.side === side && ((high(f) && legReflexes.has(f.site)) || extensor(f))),
  );
  const cord = share.get('cord') ?? 0;
  const weakLegs = all.filter((f) => weakened(f) && inLimb(f, 'leg'));
  if (level.length > 0) {
    say(slow ? 'soon' : 'now', 'sensoryLevel', [...level, ...weakLegs]);
  } else if (weakLegs.length > 0 && (cord > 0.6 || (cord > 0.4 && legsReleased))) {
    say(quick && began !== undefined ? 'now' : 'soon', 'cordLegs', [
      ...weakLegs,
      ...all.filter((f) => high(f) || extensor(f)),
    ]);
  }
  return cautions;
}

const other = (side: Lateral): Lateral => (side === 'left' ? 'right' : 'left');

/** Weakness of face and limb, or of arm and leg, on one side only. */
function oneSided(all: readonly Finding[], side: Lateral): boolean {
  const here = all.filter((f) => f.side === side);
  const arm = here.some(
    (f) =>
      (weakened(f) && inLimb(f, 'arm')) ||
      (f.kind === 'sign' && f.site === 'pronator-drift' && f.value === 'present'),
  );
  const leg = here.some((f) => weakened(f) && inLimb(f, 'leg'));
  const face = here.some(
    (f) => f.kind === 'sign' && f.site === 'facial-weakness-lower' && f.value === 'present',
  );
  const across = all.some((f) => f.side === other(side) && weakened(f));
  return !across && [arm, leg, face].filter(Boolean).length >= 2;
}

import { segmentIndex } from '../anatomy/index.ts';
import { type Lateral, laterals, mirror, type Segment, segments } from '../exam/index.ts';
import { type Course, evenOut, inTwoDegrees } from './course.ts';
import { type Cut, type Damage, intact, type Pyramidal, type TractLoss } from './damage.ts';
import { type CordPattern, type Lesion, sidesHit } from './lesion.ts';

const last = segments.length - 1;

/** How a cord lesion runs. All from memory of standard teaching (pattern tables after Brazis, DeJong and Blumenfeld) but where named. */
interface Run {
  readonly weight: number;
  /** Weakness below from the tract. */
  readonly weak: number;
  readonly brisk: number;
  readonly shock?: number;
  readonly toe: number;
  readonly spastic: number;
  /** Lower motor loss at the level, and over how many segments down it reaches. */
  readonly horn: number;
  readonly span: number;
  readonly pin: number;
  readonly column: number;
}

const run = (
  weight: number,
  weak: number,
  brisk: number,
  toe: number,
  spastic: number,
  horn: number,
  span: number,
  pin: number,
  column: number,
  shock = 0,
): Run => ({ weight, weak, brisk, toe, spastic, horn, span, pin, column, shock });

const runs: Readonly<Record<CordPattern, readonly Run[]>> = {
  complete: [
    run(0.2, 0.95, 0.9, 0.85, 0.85, 0.85, 1, 0.92, 0.92),
    run(0.2, 0.5, 0.85, 0.75, 0.7, 0.6, 1, 0.6, 0.6),
    run(0.14, 0.35, 0.85, 0.7, 0.65, 0.55, 2, 0.15, 0.2),
    run(0.1, 0.45, 0.8, 0.55, 0.5, 0.6, 3, 0, 0.05),
    run(0.1, 0.97, 0, 0.5, 0, 0.9, 1, 0.95, 0.95, 0.9),
    run(0.06, 0.6, 0, 0.5, 0, 0.6, 1, 0.65, 0.6, 0.7),
    run(0.12, 0.05, 0.8, 0.65, 0.4, 0.1, 1, 0.1, 0.15),
    run(0.12, 0.65, 0.85, 0.75, 0.7, 0, 1, 0.65, 0.6),
  ],
  hemi: [
    run(0.15, 0.97, 0.85, 0.8, 0.7, 0.85, 1, 0.9, 0.85),
    run(0.15, 0.75, 0.85, 0.8, 0.7, 0.65, 1, 0.85, 0.8),
    run(0.25, 0.35, 0.75, 0.7, 0.45, 0.4, 1, 0.7, 0.5),
    run(0.15, 0.7, 0.7, 0.6, 0.5, 0.6, 2, 0.8, 0.1),
    run(0.1, 0.95, 0, 0.4, 0, 0.85, 1, 0.9, 0.85, 0.75),
    run(0.1, 0.6, 0.8, 0.7, 0.6, 0.1, 1, 0.05, 0.6),
    run(0.1, 0.5, 0.85, 0.6, 0.5, 0.1, 1, 0.05, 0.05),
  ],
  central: [
    run(0.22, 0.1, 0.8, 0.6, 0.5, 0.75, 3, 0.85, 0.05),
    run(0.18, 0.05, 0.1, 0.08, 0.05, 0.6, 3, 0.85, 0),
    run(0.16, 0.1, 0.8, 0.6, 0.55, 0.7, 1, 0.8, 0.03),
    run(0.16, 0.35, 0.7, 0.55, 0.4, 0.8, 3, 0.5, 0.15),
    run(0.14, 0.3, 0.7, 0.5, 0.4, 0.75, 2, 0.05, 0.05),
    run(0.14, 0.2, 0.7, 0.5, 0.4, 0.35, 4, 0.7, 0.05),
  ],
  anterior: [
    run(0.3, 0.9, 0.85, 0.75, 0.7, 0.8, 1, 0.9, 0.02),
    run(0.2, 0.95, 0, 0.45, 0, 0.9, 1, 0.92, 0.02, 0.85),
    run(0.12, 0.6, 0, 0.5, 0, 0.6, 1, 0.75, 0.02, 0.7),
    run(0.25, 0.55, 0.8, 0.7, 0.6, 0.6, 2, 0.65, 0.02),
    run(0.1, 0.5, 0.75, 0.6, 0.5, 0.65, 2, 0.05, 0.02),
    run(0.1, 0.5, 0.6, 0.5, 0.3, 0.2, 1, 0.8, 0.02),
  ],
  posterolateral: [
    run(0.3, 0.15, 0.75, 0.7, 0.4, 0, 0, 0.02, 0.85),
    run(0.2, 0.4, 0.85, 0.8, 0.65, 0, 0, 0.03, 0.8),
    run(0.2, 0.05, 0.5, 0.5, 0.15, 0, 0, 0.02, 0.6),
    run(0.15, 0.05, 0.1, 0.15, 0.05, 0, 0, 0.02, 0.85),
    run(0.15, 0.15, 0.75, 0.7, 0.4, 0, 0, 0.1, 0.8),
  ],
};

/** Lower motor loss falls off down from the level: 1, then less by a step of the span. */
function hornCuts(level: number, sides: readonly Lateral[], { horn, span }: Run): readonly Cut[] {
  if (horn === 0) return [];
  const cuts: Cut[] = [];
  for (let step = -1; step <= span; step++) {
    const segment = segments[level + step];
    if (segment === undefined) continue;
    const share = step < 0 ? 0.15 : 1 - (step / (span + 1)) * 0.7;
    for (const side of sides) {
      cuts.push({
        place: `segment:${segment}`,
        side,
        motor: horn * share,
        skin: 0,
        large: 0,
        arc: horn * share,
      });
    }
  }
  return cuts;
}

/** A long cavity reaches further up with its sensory crossing than with its weakness (from memory). */
const reachUp = ({ span, pin }: Run): number => (span >= 3 && pin > 0.4 ? 3 : 0);

/** Where a cavity reaches up, the entering limb of the reflexes is lost and strength is kept. */
function entryCuts(level: number, sides: readonly Lateral[], r: Run): readonly Cut[] {
  return segments
    .slice(Math.max(0, level - reachUp(r)), Math.max(0, level - 1))
    .flatMap((segment) =>
      sides.map(
        (side): Cut => ({
          place: `segment:${segment}`,
          side,
          motor: 0,
          skin: 0,
          large: 0,
          arc: r.horn * 0.8,
        }),
      ),
    );
}

function pyramidal(side: Lateral, below: number, r: Run, arm = 1): Pyramidal {
  const { weak, brisk, shock = 0, toe, spastic } = r;
  return { side, below, arm: weak * arm, leg: weak, brisk, shock, toe, spastic };
}

/** A loss in the ascending tracts. */
export const tract = (
  side: Lateral,
  from: number,
  to: number,
  pin: number,
  touch: number,
  column: number,
): TractLoss => ({ side, from, to, pin, touch, column });

/** The crossing of pain and temperature: one or two segments above where they came in (radiologyweb notes; EJIM case 2017). */
const crossing = 2;

function damageOf(level: number, pattern: CordPattern, lesion: Lesion, r: Run): Damage {
  const hit = sidesHit(lesion.side);
  switch (pattern) {
    case 'complete':
      return {
        ...intact,
        cuts: hornCuts(level, laterals, r),
        pyramidal: laterals.map((side) => pyramidal(side, level, r)),
        tracts: laterals.map((side) =>
          tract(side, level, last, r.pin, Math.max(r.pin, r.column) * 0.9, r.column),
        ),
      };
    case 'hemi':
      return {
        ...intact,
        cuts: hornCuts(level, hit, r),
        pyramidal: hit.map((side) => pyramidal(side, level, r)),
        tracts: hit.flatMap((side) => [
          tract(side, level + 1, last, 0, r.column * 0.45, r.column),
          tract(mirror(side), level + crossing, last, r.pin, r.pin * 0.3, 0),
        ]),
      };
    case 'central': {
      // What crosses in the middle is lost where it crosses: over the span, above and below kept.
      const suspended = hit.map((side) =>
        tract(side, level - reachUp(r), level + r.span + 2, r.pin, r.pin * 0.15, 0),
      );
      const long =
        r.column === 0
          ? []
          : laterals.map((side) => tract(side, level, last - 4, 0, r.column, r.column));
      return {
        ...intact,
        cuts: [...hornCuts(level, hit, r), ...entryCuts(level, hit, r)],
        // Arm fibres lie innermost and suffer more than those of the leg (Wheeless).
        pyramidal: laterals.map((side) =>
          pyramidal(side, level, r, hit.includes(side) ? 1.6 : 0.8),
        ),
        tracts: [...suspended, ...long],
        chronic: 0.8,
      };
    }
    case 'anterior':
      return {
        ...intact,
        cuts: hornCuts(level, laterals, r),
        pyramidal: laterals.map((side) => pyramidal(side, level, r)),
        tracts: laterals.map((side) => tract(side, level + 1, last, r.pin, r.pin * 0.3, r.column)),
      };
    case 'posterolateral':
      return {
        ...intact,
        pyramidal: laterals.map((side) => pyramidal(side, level, r, 0.6)),
        tracts: laterals.map((side) => tract(side, level, last, r.pin, r.column * 0.3, r.column)),
      };
  }
}

/**
 * The metabolic causes of a posterolateral syndrome (B12, copper, nitrous oxide) hurt the longest
 * peripheral nerves as well: ankle jerks may be gone below brisk knees (Merck Manual).
 */
function withNeuropathy(damage: Damage): Damage {
  return {
    ...damage,
    diffuse: {
      arcDown: (reach) => (reach > 0.7 ? 0.8 : 0),
      skin: ({ reach }) => (reach > 0.85 ? 0.55 : 0),
    },
  };
}

export function cordCourses(
  lesion: Lesion,
  level: Segment,
  pattern: CordPattern,
): readonly Course[] {
  const at = segmentIndex(level);
  const courses: Course[] = runs[pattern].map((r) => ({
    weight: r.weight,
    damage: { ...damageOf(at, pattern, lesion, r), ...(r.shock ? { chronic: 0.1 } : {}) },
  }));
  if (pattern === 'posterolateral') {
    const [first] = courses;
    if (first !== undefined) courses.push({ weight: 0.25, damage: withNeuropathy(first.damage) });
  }
  return evenOut(inTwoDegrees(courses));
}

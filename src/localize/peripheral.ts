import { type Place, segmentIndex } from '../anatomy/index.ts';
import { type Lateral, laterals, type Segment, segments } from '../exam/index.ts';
import { type Course, evenOut } from './course.ts';
import { type Cut, intact } from './damage.ts';
import { type Lesion, sidesHit } from './lesion.ts';

/** How one cut runs: share of patients, then motor, skin, large-fibre and arc loss. */
type Run = readonly [weight: number, motor: number, skin: number, large: number, arc: number];

/**
 * Roots. Weakness in 13-61 %, sensory loss in about 25-60 %, reflex loss in about 14-67 % of patients
 * with a proven root lesion (Tawa 2017; Yousif 2025), so each may be missing; the joint weights are
 * from memory. Joint position and vibration are little hurt by one root. A part above 1 stands for
 * the people in whom the root carries more of its muscles and arcs than the table says.
 */
const rootRuns: readonly Run[] = [
  [0.12, 1.3, 0.85, 0.35, 1.25],
  [0.13, 0.9, 0.8, 0.3, 0.95],
  [0.18, 0.6, 0.65, 0.25, 0.75],
  [0.12, 0.7, 0, 0, 0.85],
  [0.13, 0, 0.65, 0.15, 0],
  [0.13, 0.08, 0.7, 0.2, 0.9],
  [0.12, 0.55, 0.7, 0.2, 0.15],
  [0.1, 0.35, 0.4, 0.1, 0.5],
];

/** A nerve or a plexus part: motor and sensory loss go together more than in a root (from memory). */
const nerveRuns: readonly Run[] = [
  [0.28, 0.97, 0.9, 0.7, 0.97],
  [0.22, 0.75, 0.75, 0.5, 0.75],
  [0.16, 0.5, 0.65, 0.35, 0.5],
  [0.1, 0.25, 0.7, 0.3, 0.25],
  [0.08, 0.85, 0.1, 0.05, 0.85],
  [0.06, 0, 0.7, 0.3, 0],
  [0.1, 0.8, 0.65, 0.4, 0.12],
];

/** At the wrist the thumb's sensory branch suffers first and the ulnar's deep branch alone. */
const medianWristRuns: readonly Run[] = [
  [0.2, 0.85, 0.85, 0.6, 0],
  [0.35, 0.4, 0.75, 0.4, 0],
  [0.35, 0.1, 0.7, 0.3, 0],
  [0.1, 0.5, 0.15, 0.05, 0],
];
const ulnarWristRuns: readonly Run[] = [
  [0.35, 0.85, 0, 0, 0],
  [0.2, 0.5, 0, 0, 0],
  [0.25, 0.8, 0.7, 0.5, 0],
  [0.2, 0.4, 0.65, 0.4, 0],
];

const runsOf: Partial<Record<string, readonly Run[]>> = {
  'nerve:median-wrist': medianWristRuns,
  'nerve:ulnar-wrist': ulnarWristRuns,
};

function cut(place: Place, side: Lateral, run: Run, scale = 1): Cut {
  const [, motor, skin, large, arc] = run;
  return {
    place,
    side,
    motor: motor * scale,
    skin: skin * scale,
    large: large * scale,
    arc: arc * scale,
  };
}

/** A root, a plexus part or a nerve, cut on the lesion's side or sides. */
export function cutCourses(lesion: Lesion, place: Place): readonly Course[] {
  const runs = runsOf[lesion.site] ?? (lesion.focus.group === 'root' ? rootRuns : nerveRuns);
  const sides = sidesHit(lesion.side);
  return evenOut(
    runs.map((run) => ({
      weight: run[0],
      damage: { ...intact, cuts: sides.map((side) => cut(place, side, run)) },
    })),
  );
}

const rootsBetween = (first: Segment, last: Segment): readonly Segment[] =>
  segments.slice(segmentIndex(first), segmentIndex(last) + 1);

/** One side of the cauda equina: from which root down, and how much of each. */
type Half = readonly [from: Segment, share: number, saddle?: number];

/**
 * The cauda equina is many roots at once, seldom the same left and right (Medscape 1148690, tables 1
 * and 4: asymmetric, all modalities, root pain, knees and ankles).
 */
const caudaShapes: readonly (readonly [weight: number, heavy: Half, light: Half])[] = [
  [0.08, ['L3', 0.9], ['S1', 0.75]],
  [0.08, ['L3', 0.9], ['S1', 0.8, 0.05]],
  [0.06, ['L4', 0.9], ['L5', 0.5]],
  [0.06, ['L5', 0.9, 0.3], ['L5', 0.7, 0.1]],
  [0.12, ['L5', 0.9], ['S1', 0.35]],
  [0.1, ['L3', 0.85], ['L3', 0.85]],
  [0.14, ['L5', 0.85], ['L5', 0.8]],
  [0.12, ['S1', 0.85], ['S1', 0.8]],
  [0.08, ['S2', 0.85], ['S2', 0.8]],
  [0.1, ['L5', 0.5], ['L5', 0.45]],
  [0.08, ['L4', 0.6], ['S1', 0.4]],
];

function caudaCuts(side: Lateral, [first, share, saddle]: Half): readonly Cut[] {
  return rootsBetween(first, 'S5').map((root) => {
    // The lowest roots lie innermost: a light side keeps its saddle more often than its ankle.
    const inner =
      segmentIndex(root) >= segmentIndex('S3') ? (saddle ?? (share < 0.8 ? 0.35 : 1)) : 1;
    return cut(`root:${root}`, side, [1, share, share, share * 0.8, share], inner);
  });
}

export function caudaCourses(lesion: Lesion): readonly Course[] {
  const courses: Course[] = [];
  for (const [weight, heavy, light] of caudaShapes) {
    if (lesion.side === 'both') {
      for (const side of laterals) {
        const other = side === 'left' ? 'right' : 'left';
        courses.push({
          weight: weight / 2,
          damage: { ...intact, cuts: [...caudaCuts(side, heavy), ...caudaCuts(other, light)] },
        });
      }
    } else {
      const [side] = sidesHit(lesion.side);
      if (side !== undefined) {
        courses.push({ weight, damage: { ...intact, cuts: caudaCuts(side, heavy) } });
      }
    }
  }
  return evenOut(courses);
}

import { segmentIndex } from '../anatomy/index.ts';
import { laterals, type Segment, segments } from '../exam/index.ts';
import { tract } from './cord.ts';
import { type Course, evenOut } from './course.ts';
import { type Cut, intact } from './damage.ts';

const last = segments.length - 1;

/** How much of S1 and L5 an injury of the tip of the cord takes with it, and whether tracts as well. */
const conusRuns: readonly (readonly [
  weight: number,
  s1: number,
  l5: number,
  lost: number,
  tractPart: number,
])[] = [
  [0.3, 0.45, 0, 0.9, 0],
  [0.2, 0.85, 0.1, 0.9, 0],
  [0.15, 0.1, 0, 0.85, 0],
  [0.15, 0.8, 0.4, 0.9, 0.3],
  [0.1, 0.5, 0.1, 0.5, 0],
  // Epiconus: the ankle lost or kept, the toe up.
  [0.1, 0.35, 0.35, 0.7, 0.6],
];

/** The tip of the cord: S2-5 on both sides alike, pain before touch, knees kept (Medscape 1148690). */
export function conusCourses(): readonly Course[] {
  return evenOut(
    conusRuns.map(([weight, s1, l5, lost, tractPart]) => {
      const parts: readonly (readonly [Segment, number])[] = [
        ['L5', l5],
        ['S1', s1],
        ['S2', 0.9],
        ['S3', 1],
        ['S4', 1],
        ['S5', 1],
      ];
      return {
        weight,
        damage: {
          ...intact,
          cuts: laterals.flatMap((side) =>
            parts
              .filter(([, share]) => share > 0)
              .map(
                ([segment, share]): Cut => ({
                  place: `segment:${segment}`,
                  side,
                  motor: lost * share * 0.7,
                  skin: 0,
                  large: 0,
                  arc: lost * share,
                }),
              ),
          ),
          pyramidal: laterals.map((side) => ({
            side,
            below: segmentIndex('L4'),
            arm: 0,
            leg: 0.25 * tractPart,
            brisk: 0.5 * tractPart,
            shock: 0,
            toe: tractPart,
            spastic: 0.2 * tractPart,
          })),
          tracts: laterals.map((side) =>
            tract(
              side,
              segmentIndex('S2') + (s1 > 0.6 ? -1 : 0),
              last,
              lost,
              lost * 0.4,
              lost * 0.4,
            ),
          ),
        },
      };
    }),
  );
}

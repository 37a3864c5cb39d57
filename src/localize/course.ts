import { segmentIndex } from '../anatomy/index.ts';
import type { Damage } from './damage.ts';

/**
 * One way a lesion may run: how severe, which fibres, how old. A lesion is a mixture of a few, so
 * that its severity is summed out and findings made together stay together.
 */
export interface Course {
  /** Share of the patients with this lesion, adding to 1 over a lesion's courses. */
  readonly weight: number;
  readonly damage: Damage;
  /** Paresis of the face, ptosis and the like that do not follow from the damage; see signs.ts. */
  readonly bulbar?: number;
}

/** How often the arms suffer more than the legs in a cervical cord lesion (from memory). */
const armsShare = 0.25;
const T1 = segmentIndex('T1');

/** How often the heavier of two degrees of the same lesion is met (from memory). */
const heavierShare = 0.4;

/**
 * Each course that weakens through the tracts in two degrees, as told and heavier, so that a limb
 * which is equally weak all over finds its own degree.
 */
export function inTwoDegrees(courses: readonly Course[]): readonly Course[] {
  return courses.flatMap((course) => {
    const { damage, weight } = course;
    const weak = Math.max(0, ...damage.pyramidal.map(({ arm, leg }) => Math.max(arm, leg)));
    if (weak < 0.25 || weak > 0.9) return [course];
    const more = (x: number): number => (x < 0.1 ? x : 1 - (1 - Math.min(1, x)) * 0.4);
    const heavier: Damage = {
      ...damage,
      pyramidal: damage.pyramidal.map((p) => ({ ...p, arm: more(p.arm), leg: more(p.leg) })),
    };
    const degrees = [
      { ...course, weight: weight * (1 - heavierShare) },
      { ...course, weight: weight * heavierShare, damage: heavier },
    ];
    const inCord = damage.pyramidal.some(({ below }) => below >= 0 && below < T1);
    if (!inCord) return degrees;
    // In the neck the arms may be struck harder than the legs.
    const arms: Damage = {
      ...damage,
      pyramidal: damage.pyramidal.map((p) => ({ ...p, arm: more(p.arm) })),
    };
    return [
      ...degrees.map((d) => ({ ...d, weight: d.weight * (1 - armsShare) })),
      { ...course, weight: weight * armsShare, damage: arms },
    ];
  });
}

/** Scales weights so that they add to 1. */
export function evenOut(courses: readonly Course[]): readonly Course[] {
  const sum = courses.reduce((total, course) => total + course.weight, 0);
  return courses.map((course) => ({ ...course, weight: course.weight / sum }));
}

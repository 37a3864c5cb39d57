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

/** Scales weights so that they add to 1. */
export function evenOut(courses: readonly Course[]): readonly Course[] {
  const sum = courses.reduce((total, course) => total + course.weight, 0);
  return courses.map((course) => ({ ...course, weight: course.weight / sum }));
}

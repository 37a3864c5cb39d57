import { type Course, evenOut } from './course.ts';
import { type Damage, intact } from './damage.ts';
import type { Systemic } from './lesion.ts';

const clamp = (x: number): number => Math.max(0, Math.min(1, x));
/** 0 below the threshold, rising to 1 over a quarter of the body's longest fibre. */
const beyond = (reach: number, threshold: number): number => clamp((reach - threshold) / 0.18);

/** Length-dependent: weight, threshold of reach, motor part, small-fibre part, large-fibre part. */
const lengthRuns: readonly (readonly [number, number, number, number, number])[] = [
  [0.2, 0.78, 0.15, 0.8, 0.8],
  [0.1, 0.78, 0, 0.85, 0.15],
  [0.12, 0.75, 0.25, 0.3, 0.85],
  [0.22, 0.65, 0.4, 0.8, 0.8],
  [0.08, 0.55, 0.7, 0.8, 0.8],
  [0.04, 0.38, 0.85, 0.85, 0.85],
  [0.06, 0.7, 0.7, 0.5, 0.6],
];

export function lengthDependentCourses(): readonly Course[] {
  return evenOut(
    lengthRuns.map(([weight, threshold, motor, small, large]) => ({
      weight,
      damage: {
        ...intact,
        chronic: 0.8,
        diffuse: {
          // Weakness keeps behind numbness on the way up.
          motor: ({ reach }) => motor * beyond(reach, threshold + 0.1),
          arcDown: (reach) => Math.max(small * 0.4, large) * clamp((reach - threshold + 0.1) / 0.2),
          skin: ({ reach }, isLarge) => (isLarge ? large : small) * beyond(reach, threshold),
        },
      },
    })),
  );
}

/**
 * Demyelinating: weight, arms, legs, proximal share, arcs, sensory. Reflexes are down in 91 % at
 * first and in all later; 2 % keep the arm reflexes (Fokke 2014).
 */
const demyelinatingRuns: readonly (readonly [number, number, number, number, number, number])[] = [
  [0.25, 0.55, 0.65, 0.9, 0.97, 0.3],
  [0.2, 0.2, 0.6, 0.8, 0.95, 0.35],
  [0.12, 0.85, 0.9, 0.95, 1, 0.5],
  // The motor form keeps sensation.
  [0.1, 0.65, 0.75, 0.9, 0.97, 0],
  [0.13, 0.35, 0.35, 0.9, 0.9, 0.1],
  [0.12, 0.45, 0.55, 0.5, 0.95, 0.65],
  [0.1, 0.1, 0.4, 0.7, 0.6, 0.3],
  [0.08, 0.1, 0.15, 0.6, 0.97, 0.7],
];

export function demyelinatingCourses(): readonly Course[] {
  return evenOut(
    demyelinatingRuns.map(([weight, arm, leg, proximal, arc, sensory]) => ({
      weight,
      bulbar: arm,
      damage: {
        ...intact,
        chronic: 0.25,
        diffuse: {
          motor: (row) => {
            const limb = row.limb === 'leg' ? leg : row.limb === 'arm' ? arm : arm * 0.5;
            return limb * (proximal + (1 - proximal) * (1 - row.proximal));
          },
          arcDown: (_reach, limb) =>
            limb === 'trunk' ? 0.2 : limb === 'leg' ? arc : arc * (arm > 0.15 ? 1 : 0.65),
          skin: ({ reach, limb }, large) =>
            limb === 'head' || limb === 'trunk'
              ? 0.03
              : sensory * (large ? 1 : 0.7) * (0.35 + 0.65 * reach),
        },
      },
    })),
  );
}

/** Weakness of what is near the trunk: weight, strength of it in legs, arms, neck. */
const proximalDamage = (
  legs: number,
  arms: number,
  neck: number,
  arcs: number,
  chronic = 0.3,
  girdleOnly = false,
): Damage => ({
  ...intact,
  chronic,
  diffuse: {
    motor: (row) => {
      const near =
        row.proximal > (girdleOnly ? 0.85 : 0.65)
          ? row.proximal
          : row.proximal * (girdleOnly ? 0.08 : 0.35);
      return row.limb === 'neck' ? neck * row.proximal : (row.limb === 'leg' ? legs : arms) * near;
    },
    arcDown: (_reach, limb) => (limb === 'trunk' ? 0 : arcs),
  },
});

export function musclesCourses(): readonly Course[] {
  return evenOut([
    { weight: 0.4, damage: proximalDamage(0.6, 0.5, 0.45, 0.08, 0.4) },
    { weight: 0.3, damage: proximalDamage(0.35, 0.3, 0.2, 0.02, 0.25) },
    { weight: 0.12, damage: proximalDamage(0.85, 0.8, 0.6, 0.45, 0.7) },
    { weight: 0.13, damage: proximalDamage(0.8, 0.75, 0.7, 0.08, 0.3) },
    { weight: 0.15, damage: proximalDamage(0.5, 0.1, 0.1, 0.05, 0.4) },
    // Hips and shoulders alone, knees and elbows kept.
    { weight: 0.25, damage: proximalDamage(0.55, 0.5, 0.4, 0.02, 0.3, true) },
  ]);
}

export function postsynapticCourses(): readonly Course[] {
  return evenOut([
    { weight: 0.35, bulbar: 0.5, damage: proximalDamage(0.25, 0.4, 0.4, 0) },
    { weight: 0.3, bulbar: 0.2, damage: proximalDamage(0, 0.03, 0.05, 0) },
    { weight: 0.2, bulbar: 0.9, damage: proximalDamage(0.4, 0.6, 0.65, 0) },
    { weight: 0.15, bulbar: 0.3, damage: proximalDamage(0.1, 0.2, 0.1, 0) },
    { weight: 0.12, bulbar: 0.4, damage: proximalDamage(0.35, 0.45, 0.4, 0, 0.3, true) },
  ]);
}

export function presynapticCourses(): readonly Course[] {
  return evenOut([
    { weight: 0.5, bulbar: 0.15, damage: proximalDamage(0.5, 0.3, 0.2, 0.75) },
    { weight: 0.25, bulbar: 0.2, damage: proximalDamage(0.35, 0.2, 0.15, 0.97) },
    { weight: 0.1, bulbar: 0.1, damage: proximalDamage(0.4, 0.15, 0.1, 0.35) },
    { weight: 0.2, bulbar: 0.15, damage: proximalDamage(0.5, 0.4, 0.2, 0.8, 0.3, true) },
    // Botulism comes down from the head.
    { weight: 0.15, bulbar: 0.9, damage: proximalDamage(0.3, 0.6, 0.6, 0.5) },
  ]);
}

const everywhere = (
  motor: number,
  proximal: number,
  down: number,
  up: number,
  toe = 0,
): Damage => ({
  ...intact,
  chronic: 0.05,
  jaw: up * 0.5,
  diffuse: {
    motor: (row) => motor + proximal * (row.proximal > 0.65 ? row.proximal : 0),
    arcDown: (_reach, limb) => (limb === 'trunk' ? 0 : down),
    arcUp: (limb) => (limb === 'trunk' ? 0 : up),
    toe: () => toe,
  },
});

export const systemicCourses: Readonly<Record<Systemic, () => readonly Course[]>> = {
  hypermagnesaemia: () =>
    evenOut([
      { weight: 0.3, damage: everywhere(0.02, 0, 0.5, 0) },
      { weight: 0.25, damage: everywhere(0.02, 0, 0.7, 0) },
      { weight: 0.3, damage: everywhere(0.4, 0, 0.75, 0) },
      { weight: 0.2, bulbar: 0.5, damage: everywhere(0.65, 0, 0.98, 0) },
      { weight: 0.15, damage: everywhere(0.05, 0, 0.98, 0) },
    ]),
  hypothyroid: () =>
    evenOut([
      { weight: 0.4, damage: everywhere(0, 0, 0.1, 0) },
      { weight: 0.3, damage: everywhere(0, 0.22, 0.25, 0) },
      { weight: 0.3, damage: everywhere(0, 0.08, 0.5, 0) },
    ]),
  hyperthyroid: () =>
    evenOut([
      { weight: 0.6, damage: everywhere(0, 0, 0, 0.75) },
      { weight: 0.4, damage: everywhere(0, 0.25, 0, 0.65) },
    ]),
  hypocalcaemia: () =>
    evenOut([
      { weight: 0.7, damage: everywhere(0, 0, 0, 0.75, 0.02) },
      { weight: 0.3, damage: everywhere(0, 0, 0, 0.4) },
    ]),
};

import { type Lateral, laterals, segments } from '../exam/index.ts';
import { type Course, evenOut } from './course.ts';
import { type Damage, intact } from './damage.ts';
import { type Lesion, type Systemic, sidesHit } from './lesion.ts';

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

/** One limb's share in motor neuron disease: lower motor loss, upper motor weakness, release. */
interface LimbState {
  readonly lower: number;
  readonly weak: number;
  readonly brisk: number;
}
type Limb = 'armLeft' | 'armRight' | 'legLeft' | 'legRight';
const limbAt = (limb: 'arm' | 'leg' | 'neck' | 'trunk', side: Lateral): Limb =>
  limb === 'leg'
    ? side === 'left'
      ? 'legLeft'
      : 'legRight'
    : side === 'left'
      ? 'armLeft'
      : 'armRight';

function motorNeuronDamage(
  limbs: Readonly<Record<Limb, LimbState>>,
  toe: number,
  jaw: number,
  even = false,
): Damage {
  const legs = (side: Lateral): LimbState => limbs[limbAt('leg', side)];
  return {
    ...intact,
    chronic: 1,
    jaw,
    pyramidal: laterals.map((side) => ({
      side,
      below: -1,
      arm: limbs[limbAt('arm', side)].weak,
      leg: legs(side).weak,
      brisk: 0,
      shock: 0,
      toe: legs(side).brisk * toe,
      spastic: 0,
    })),
    diffuse: {
      motor: (row, side) => limbs[limbAt(row.limb, side)].lower * (row.limb === 'neck' ? 0.5 : 1),
      patchy: (row, side) =>
        even ? 0 : row.limb === 'neck' ? 0.3 : limbs[limbAt(row.limb, side)].lower * 0.8,
      arcDown: (_reach, limb, side) =>
        limb === 'trunk' ? 0 : limbs[limbAt(limb, side)].lower * 0.55,
      arcUp: (limb, side) => (limb === 'trunk' ? 0 : limbs[limbAt(limb, side)].brisk),
      spastic: (limb, side) => limbs[limbAt(limb, side)].brisk * 0.55,
    },
  };
}

/** Motor neuron disease starts in one limb, in the bulb, or is general when seen (from memory). */
export function motorNeuronCourses(): readonly Course[] {
  const rest: LimbState = { lower: 0.1, weak: 0.05, brisk: 0.5 };
  const quiet: LimbState = { lower: 0.08, weak: 0.02, brisk: 0.3 };
  const struck: LimbState = { lower: 0.6, weak: 0.15, brisk: 0.5 };
  const wasted: LimbState = { lower: 0.75, weak: 0.05, brisk: 0.1 };
  const stiff: LimbState = { lower: 0.12, weak: 0.4, brisk: 0.85 };
  const all = (state: LimbState): Readonly<Record<Limb, LimbState>> => ({
    armLeft: state,
    armRight: state,
    legLeft: state,
    legRight: state,
  });
  const courses: Course[] = [
    {
      weight: 0.18,
      bulbar: 0.6,
      damage: motorNeuronDamage({ ...all(struck), legLeft: stiff, legRight: stiff }, 0.6, 0.6),
    },
    {
      weight: 0.12,
      bulbar: 0.6,
      damage: motorNeuronDamage(all({ lower: 0.4, weak: 0.3, brisk: 0.95 }), 0.7, 0.8),
    },
    { weight: 0.08, bulbar: 0.4, damage: motorNeuronDamage(all(struck), 0.5, 0.4) },
    { weight: 0.14, bulbar: 1, damage: motorNeuronDamage(all(quiet), 0.3, 0.75) },
    { weight: 0.06, bulbar: 0.5, damage: motorNeuronDamage(all(stiff), 0.7, 0.7) },
  ];
  // Late on, every muscle of the limbs is weak alike.
  for (const state of [
    { lower: 0.35, weak: 0.3, brisk: 0.85 },
    { lower: 0.65, weak: 0.4, brisk: 0.5 },
  ]) {
    courses.push({
      weight: 0.07,
      bulbar: 0.6,
      damage: motorNeuronDamage(all(state), 0.6, 0.65, true),
    });
  }
  for (const limb of ['armLeft', 'armRight', 'legLeft', 'legRight'] as const) {
    courses.push({
      weight: 0.05,
      bulbar: 0.3,
      damage: motorNeuronDamage({ ...all(rest), [limb]: struck }, 0.5, 0.35),
    });
    courses.push({
      weight: 0.05,
      bulbar: 0.3,
      damage: motorNeuronDamage({ ...all(stiff), [limb]: wasted }, 0.6, 0.35),
    });
  }
  return evenOut(courses);
}

/** Lower motor neurons alone: patchy, asymmetric, sensation kept. */
export function anteriorHornCourses(lesion: Lesion): readonly Course[] {
  const hit = sidesHit(lesion.side);
  const shapes: readonly (readonly [weight: number, arm: number, leg: number, even: boolean])[] = [
    [0.24, 0.6, 0.1, false],
    [0.28, 0.1, 0.65, false],
    [0.28, 0.5, 0.55, false],
    [0.07, 0.55, 0.08, true],
    [0.07, 0.08, 0.55, true],
    [0.06, 0.5, 0.5, true],
  ];
  return evenOut(
    shapes.map(([weight, arm, leg, even]) => {
      const lower = (limb: string, side: Lateral): number =>
        hit.includes(side) ? (limb === 'leg' ? leg : limb === 'arm' ? arm : 0.1) : 0.02;
      return {
        weight,
        bulbar: 0.1,
        damage: {
          ...intact,
          chronic: 0.85,
          diffuse: {
            motor: (row, side) => lower(row.limb, side),
            patchy: (row, side) => (even ? 0 : lower(row.limb, side) * 0.8),
            arcDown: (_reach, limb, side) => (limb === 'trunk' ? 0.05 : lower(limb, side) * 1.1),
          },
        },
      };
    }),
  );
}

export const lastSegment = segments.length - 1;

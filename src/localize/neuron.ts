import { type Lateral, laterals } from '../exam/index.ts';
import { type Course, evenOut } from './course.ts';
import { type Damage, intact } from './damage.ts';
import { type Lesion, sidesHit } from './lesion.ts';

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

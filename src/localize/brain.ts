import { type Lateral, laterals, mirror, segments } from '../exam/index.ts';
import { type Course, evenOut, inTwoDegrees } from './course.ts';
import { type Damage, intact, type Pyramidal, type TractLoss } from './damage.ts';
import { type Lesion, sidesHit } from './lesion.ts';

const last = segments.length - 1;

/** How a lesion above the cord runs: weakness of arm and leg, release or shock, sensory loss. */
interface Run {
  readonly weight: number;
  readonly arm: number;
  readonly leg: number;
  readonly brisk: number;
  readonly shock: number;
  readonly toe: number;
  readonly spastic: number;
  readonly pin: number;
  readonly column: number;
  readonly ataxia: number;
}

const run = (
  weight: number,
  arm: number,
  leg: number,
  brisk: number,
  shock: number,
  toe: number,
  spastic: number,
  pin: number,
  column: number,
  ataxia = 0,
): Run => ({ weight, arm, leg, brisk, shock, toe, spastic, pin, column, ataxia });

/**
 * Hemisphere: arm over leg, leg over arm, or alike, with sensory loss of the cortical kind. Capsule:
 * alike, mostly motor alone. Brainstem: the crossed limbs. From pattern tables after Brazis, DeJong and Blumenfeld, weights from memory.
 */
const runs: Readonly<Record<string, readonly Run[]>> = {
  hemisphere: [
    run(0.2, 0.8, 0.3, 0.75, 0, 0.6, 0.6, 0.45, 0.55),
    run(0.12, 0.22, 0.85, 0.75, 0, 0.65, 0.6, 0.4, 0.5),
    run(0.16, 0.7, 0.65, 0.85, 0, 0.7, 0.75, 0.5, 0.55),
    run(0.08, 0.98, 0.95, 0.15, 0.4, 0.6, 0, 0.6, 0.65),
    run(0.06, 0.98, 0.9, 0.9, 0, 0.75, 0.9, 0.45, 0.5),
    run(0.08, 0.75, 0.6, 0.1, 0.4, 0.5, 0, 0.4, 0.45),
    run(0.16, 0.35, 0.3, 0.55, 0, 0.5, 0.3, 0.45, 0.45, 0.2),
    run(0.1, 0.5, 0.4, 0.65, 0, 0.5, 0.4, 0.03, 0.03),
    run(0.08, 0.05, 0, 0.1, 0, 0.1, 0, 0.5, 0.65, 0.15),
    run(0.08, 0, 0, 0.05, 0, 0.05, 0, 0.03, 0.05),
  ],
  'internal-capsule': [
    run(0.3, 0.65, 0.65, 0.8, 0, 0.7, 0.7, 0.02, 0.02),
    run(0.1, 0.97, 0.97, 0.15, 0.35, 0.6, 0.1, 0.02, 0.02),
    run(0.1, 0.8, 0.75, 0.15, 0.3, 0.6, 0.1, 0.02, 0.02),
    run(0.2, 0.5, 0.5, 0.6, 0, 0.55, 0.4, 0.02, 0.02, 0.25),
    run(0.18, 0.6, 0.6, 0.75, 0, 0.65, 0.6, 0.6, 0.6, 0.15),
    run(0.12, 0.95, 0.95, 0.95, 0, 0.85, 0.9, 0.1, 0.1),
  ],
  'brainstem:midbrain': [
    run(0.4, 0.6, 0.6, 0.75, 0, 0.7, 0.5, 0.05, 0.05, 0.1),
    run(0.25, 0.5, 0.5, 0.6, 0, 0.6, 0.3, 0.4, 0.4, 0.4),
    run(0.2, 0.75, 0.75, 0.2, 0.3, 0.6, 0.1, 0.05, 0.05),
    run(0.15, 0.05, 0.05, 0.2, 0, 0.15, 0, 0.03, 0.05, 0.3),
  ],
  'brainstem:pons': [
    run(0.35, 0.6, 0.6, 0.75, 0, 0.7, 0.5, 0.05, 0.05, 0.1),
    run(0.2, 0.45, 0.45, 0.65, 0, 0.6, 0.3, 0.35, 0.45, 0.3),
    run(0.2, 0.75, 0.75, 0.15, 0.3, 0.6, 0.1, 0.1, 0.1),
    run(0.15, 0.05, 0.05, 0.15, 0, 0.1, 0, 0.05, 0.05, 0.3),
    run(0.1, 0.9, 0.9, 0.9, 0, 0.8, 0.8, 0.3, 0.3),
  ],
  'brainstem:medulla': [
    run(0.45, 0.08, 0.08, 0.2, 0, 0.15, 0.05, 0.8, 0.03, 0.15),
    run(0.25, 0.75, 0.75, 0.75, 0, 0.65, 0.5, 0.05, 0.6),
    run(0.15, 0.6, 0.6, 0.3, 0.25, 0.6, 0.15, 0.1, 0.1),
    run(0.15, 0.3, 0.3, 0.5, 0, 0.5, 0.3, 0.5, 0.3, 0.3),
  ],
};

function damageOf(lesion: Lesion, r: Run): Damage {
  const hit = sidesHit(lesion.side);
  const bodySides = hit.map((side) => mirror(side));
  const stem = lesion.focus.group === 'brainstem';
  const medulla = stem && 'place' in lesion.focus && lesion.focus.place === 'medulla';
  const pyramidal = bodySides.map(
    (side): Pyramidal => ({
      side,
      below: -1,
      arm: r.arm,
      leg: r.leg,
      brisk: r.brisk,
      shock: r.shock,
      toe: r.toe,
      spastic: r.spastic,
    }),
  );
  const tracts = bodySides.map(
    (side): TractLoss => ({
      side,
      from: 0,
      to: last,
      pin: r.pin,
      touch: Math.max(r.column, r.pin * 0.5),
      column: r.column,
      ...(stem ? {} : { face: Math.max(r.pin, r.column) }),
    }),
  );
  const faces = stem
    ? hit.map(
        (side): TractLoss => ({
          side,
          from: 1,
          to: 0,
          pin: 0,
          touch: 0,
          column: 0,
          face: medulla ? r.pin * 0.9 : r.pin * 0.5,
        }),
      )
    : [];
  // In the medulla the cerebellar fibres of the same side suffer; above, those that have crossed.
  const ataxic: readonly Lateral[] = medulla ? hit : bodySides;
  const lateralMedulla = medulla && r.pin > 0.7 ? 0.75 : r.ataxia;
  const ataxia = { left: 0, right: 0, trunk: stem ? 0.3 : 0.05 };
  for (const side of ataxic) ataxia[side] = lateralMedulla;
  return {
    ...intact,
    pyramidal,
    tracts: [...tracts, ...faces],
    ataxia,
    chronic: 0.2,
    // Brisk only above the pons and on both sides: the jaw's centre has control from both.
    jaw: lesion.side === 'both' && !medulla ? r.brisk * 0.8 : r.brisk * 0.05,
  };
}

export function brainCourses(lesion: Lesion): readonly Course[] {
  const own = runs[lesion.site] ?? runs[lesion.focus.group] ?? [];
  return evenOut(inTwoDegrees(own.map((r) => ({ weight: r.weight, damage: damageOf(lesion, r) }))));
}

/** The cerebellum: power and sensation kept, coordination lost on its own side. */
export function cerebellarCourses(lesion: Lesion): readonly Course[] {
  const hit = sidesHit(lesion.side);
  const shapes: readonly (readonly [weight: number, limb: number, trunk: number])[] =
    lesion.side === 'both'
      ? [
          [0.5, 0.85, 0.8],
          [0.3, 0.5, 0.7],
          [0.2, 0.05, 0.85],
        ]
      : [
          [0.6, 0.85, 0.3],
          [0.4, 0.5, 0.2],
        ];
  return evenOut(
    shapes.map(([weight, limb, trunk]) => ({
      weight,
      damage: {
        ...intact,
        ataxia: {
          left: hit.includes('left') ? limb : 0,
          right: hit.includes('right') ? limb : 0,
          trunk,
        },
        diffuse: { arcDown: (_reach, _limb, side) => (hit.includes(side) ? 0.12 : 0) },
      },
    })),
  );
}

export const bodySidesOf = (lesion: Lesion): readonly Lateral[] =>
  lesion.side === 'both' ? laterals : sidesHit(lesion.side).map((side) => mirror(side));

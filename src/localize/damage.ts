import type { MovementRow, Patch, Place } from '../anatomy/index.ts';
import type { Lateral, Movement } from '../exam/index.ts';

/** A cut through a place on the lower motor or sensory way, each part of it 0 (spared) to 1 (through). */
export interface Cut {
  readonly place: Place;
  readonly side: Lateral;
  readonly motor: number;
  /** Pinprick, temperature, light touch. */
  readonly skin: number;
  /** Vibration and joint position. */
  readonly large: number;
  readonly arc: number;
}

/** Loss of the descending control of one side of the body, below a level (-1: all of it). */
export interface Pyramidal {
  readonly side: Lateral;
  readonly below: number;
  readonly arm: number;
  readonly leg: number;
  /** How brisk the reflexes are below, 0 to 1. */
  readonly brisk: number;
  /** An acute lesion may leave the reflexes below it low or absent, 0 to 1. */
  readonly shock: number;
  /** How surely the toe goes up. */
  readonly toe: number;
  readonly spastic: number;
}

/** Loss in the ascending tracts: from one segment to another, on one side of the body. */
export interface TractLoss {
  readonly side: Lateral;
  readonly from: number;
  readonly to: number;
  readonly pin: number;
  readonly touch: number;
  readonly column: number;
  /** The face too; brain lesions only. */
  readonly face?: number;
}

/** A process that goes by length, nearness to the trunk, or everywhere, and not by place. */
export interface Diffuse {
  readonly motor?: (row: MovementRow, side: Lateral, movement: Movement) => number;
  /** Chance that any one muscle is weak where weakness is patchy. */
  readonly patchy?: (row: MovementRow, side: Lateral) => number;
  readonly arcDown?: (reach: number, limb: 'arm' | 'leg' | 'trunk', side: Lateral) => number;
  readonly arcUp?: (limb: 'arm' | 'leg' | 'trunk', side: Lateral) => number;
  readonly skin?: (patch: Pick<Patch, 'reach' | 'limb'>, large: boolean) => number;
  readonly toe?: (side: Lateral) => number;
  readonly spastic?: (limb: 'arm' | 'leg', side: Lateral) => number;
  /** Clonic even where no tract is cut: thyroid, calcium. */
  readonly jaw?: number;
}

/** What one lesion, run one course, has done to the nervous system. */
export interface Damage {
  readonly cuts: readonly Cut[];
  readonly pyramidal: readonly Pyramidal[];
  readonly tracts: readonly TractLoss[];
  readonly diffuse: Diffuse;
  /** Loss of coordination by side, and of the trunk. */
  readonly ataxia: Readonly<Record<Lateral | 'trunk', number>>;
  /** Whether lower motor signs have had time to waste the muscle, 0 to 1. */
  readonly chronic: number;
  /** Jaw jerk brisk, 0 to 1. */
  readonly jaw: number;
}

export const intact: Damage = {
  cuts: [],
  pyramidal: [],
  tracts: [],
  diffuse: {},
  ataxia: { left: 0, right: 0, trunk: 0 },
  chronic: 0.5,
  jaw: 0,
};

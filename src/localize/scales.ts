import {
  briskSign,
  bulk,
  circumstance,
  coordination,
  qualifier,
  sign,
  superficial,
} from './chanceScale.ts';
import { gait } from './gaitScale.ts';
import { onset } from './onsetScale.ts';
import { ankle, clonus, faint, plantar, reflex, tone } from './reflexScale.ts';
import type { Scale } from './scale.ts';
import { level, sensation, vibrationFeet } from './skinScale.ts';
import { strength } from './strengthScale.ts';

/** Every scale by what it is for. */
export const scales = {
  strength,
  reflex,
  ankle,
  faint,
  clonus,
  plantar,
  tone,
  sensation,
  vibrationFeet,
  level,
  sign,
  briskSign,
  bulk,
  superficial,
  coordination,
  circumstance,
  qualifier,
  gait,
  onset,
} as const satisfies Readonly<Record<string, Scale>>;

import { onsetValues } from '../exam/index.ts';
import { type Scale, withSlip } from './scale.ts';

/** How diseases begin: sudden, days, weeks, months, years (from memory). */
export const onsetShapes = {
  any: [0.2, 0.2, 0.2, 0.2, 0.2],
  stroke: [0.7, 0.14, 0.06, 0.07, 0.03],
  cord: [0.17, 0.18, 0.22, 0.3, 0.13],
  slow: [0.02, 0.03, 0.12, 0.53, 0.3],
  neuron: [0.01, 0.02, 0.12, 0.6, 0.25],
  lasting: [0.03, 0.07, 0.1, 0.3, 0.5],
  root: [0.2, 0.2, 0.25, 0.27, 0.08],
  nerve: [0.26, 0.14, 0.2, 0.28, 0.12],
  wrist: [0.06, 0.07, 0.2, 0.42, 0.25],
  acute: [0.08, 0.68, 0.17, 0.05, 0.02],
  weeks: [0.1, 0.2, 0.4, 0.24, 0.06],
  systemic: [0.12, 0.28, 0.22, 0.25, 0.13],
} as const;
export type OnsetShape = keyof typeof onsetShapes;
const shapeNames = Object.keys(onsetShapes) as readonly OnsetShape[];
/** Code of the way a disease begins. */
export const onsetCode = (shape: OnsetShape): number => shapeNames.indexOf(shape);

export const onset: Scale = {
  id: 'onset',
  codes: shapeNames.length,
  values: onsetValues,
  varies: false,
  chances: (code) => withSlip(onsetShapes[shapeNames[code] ?? 'any']),
  combine: (a, b) => (a === b ? a : onsetCode('any')),
};

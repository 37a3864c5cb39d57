import { sensationValues } from '../exam/index.ts';
import { chanceCodes, chanceOf, either, stepOf } from './grid.ts';
import { type Scale, withSlip } from './scale.ts';

const senseSteps = 14;
/** Code of a loss of sensation, 0 to 1. */
export const senseCode = (loss: number): number => stepOf(loss, senseSteps);

function senseScale(id: string, dull: boolean): Scale {
  return {
    id,
    codes: senseSteps,
    values: sensationValues,
    varies: dull,
    chances(code, baseline) {
      const own = code / (senseSteps - 1);
      const old = dull && (baseline === 'dull-feet' || baseline === 'no-ankles-dull-feet');
      const loss = old ? either(own, 0.7) : own;
      const kept = Math.max(0.03, 0.98 * Math.exp(-3.2 * loss ** 1.2));
      const gone = (1 - kept) * (0.06 + 0.42 * loss * loss);
      const more = (1 - kept) * 0.07;
      return withSlip([kept, 1 - kept - gone - more, gone, more]);
    },
    combine: (a, b) => senseCode(either(a / (senseSteps - 1), b / (senseSteps - 1))),
  };
}

export const sensation = senseScale('sensation', false);
export const vibrationFeet = senseScale('sensation-feet', true);

/**
 * A sensory level: the state is the chance that the loss is found to begin there. How deep the loss
 * is says nothing of where it begins.
 */
export const level: Scale = {
  id: 'level',
  codes: chanceCodes,
  values: sensationValues,
  varies: false,
  chances(code) {
    const found = chanceOf(code);
    return withSlip([1 - found, 0.57 * found, 0.38 * found, 0.05 * found]);
  },
  combine: (a, b) => Math.max(a, b),
};

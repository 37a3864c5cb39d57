import { contextValues, coordinationValues, signValues, superficialValues } from '../exam/index.ts';
import { chanceCodes, chanceOf, either } from './grid.ts';
import { type Scale, slipInHistory, slipInSigns, slipShare, withSlip } from './scale.ts';

/** The likelier cause decides: base rates, which every lesion carries, must not add up. */
const combineChance = (a: number, b: number): number => Math.max(a, b);

function chanceScale(
  id: string,
  values: readonly string[],
  spread: (p: number) => readonly number[],
  { briskChance, slip = slipShare }: { readonly briskChance?: number; readonly slip?: number } = {},
): Scale {
  return {
    id,
    codes: chanceCodes,
    values,
    varies: briskChance !== undefined,
    chances(code, baseline) {
      const own = chanceOf(code);
      const p = baseline === 'brisk' && briskChance !== undefined ? either(own, briskChance) : own;
      return withSlip(spread(p), slip);
    },
    combine: combineChance,
  };
}

const presence = (p: number): readonly number[] => [
  p * 0.96,
  (1 - p) * 0.98,
  p * 0.04 + (1 - p) * 0.02,
];
export const sign = chanceScale('sign', signValues, presence, { slip: slipInSigns });
/** Hoffmann and Tromner are found in 2-3 % of the public (Gruenberger 2023), mostly in the brisk. */
export const briskSign = chanceScale('sign-brisk', signValues, presence, { briskChance: 0.16 });
export const bulk = chanceScale('bulk', ['normal', 'wasted'], (p) => [1 - p, p]);
export const superficial = chanceScale('superficial', superficialValues, (p) => [
  1 - p,
  p * 0.35,
  p * 0.65,
]);
export const coordination = chanceScale('coordination', coordinationValues, (p) => [1 - p, p]);
export const circumstance = chanceScale('circumstance', contextValues, (p) => [p, 1 - p], {
  slip: slipInHistory,
});
export const qualifier = chanceScale('qualifier', ['present', 'absent'], (p) => [p, 1 - p], {
  briskChance: 0.05,
});

/** Chances in steps even on the scale of log odds, so that one byte tells a chance. */
export const chanceCodes = 40;
const lowest = Math.log(0.001 / 0.999);
const highest = Math.log(0.985 / 0.015);
const step = (highest - lowest) / (chanceCodes - 1);

export const chanceOf = (code: number): number => 1 / (1 + Math.exp(-(lowest + code * step)));

export function chanceCode(chance: number): number {
  const p = Math.min(0.9999, Math.max(0.0001, chance));
  const at = (Math.log(p / (1 - p)) - lowest) / step;
  return Math.max(0, Math.min(chanceCodes - 1, Math.round(at)));
}

/** 0 to 1 in even steps. */
export const stepOf = (x: number, steps: number): number =>
  Math.max(0, Math.min(steps - 1, Math.round(x * (steps - 1))));

/** Either of two independent causes. */
export const either = (a: number, b: number): number => 1 - (1 - a) * (1 - b);

/**
 * How a patient's reflexes and feet were before any lesion. It is one thing for the whole patient, so
 * symmetric 1+ or 3+ counts once and not once a reflex.
 */
export const baselines = [
  'usual',
  'brisk',
  'low',
  'no-ankles',
  'dull-feet',
  'no-ankles-dull-feet',
] as const;
export type Baseline = (typeof baselines)[number];

/** Share of people over 60 without ankle jerks, and without vibration at the toe (Vrancken 2006). */
const noAnkles = 0.23;
const dullFeet = 0.29;
/** Shares of people with generally brisk or generally low reflexes (from memory). */
const brisk = 0.09;
const low = 0.08;

/** 0 before 55, 1 at 65, 1.4 at 80 and over: a third of the healthy at 80 have lost the ankle jerk. */
function ageing(age: number): number {
  if (age <= 55) return 0.03;
  if (age <= 65) return 0.03 + 0.97 * ((age - 55) / 10);
  return Math.min(1.4, 1 + 0.4 * ((age - 65) / 15));
}

/** An adult of unknown age is a mixture of the ages that are examined (from memory). */
const unknownAge = 0.3;

/** Share of each baseline, adding to 1. @param age in years, where it was told */
export function baselineShares(age: number | undefined): readonly number[] {
  const old = age === undefined ? unknownAge : ageing(age);
  // Half of those who lost one lost the other.
  const together = 0.5 * noAnkles * old;
  const ankles = noAnkles * old - together;
  const feet = dullFeet * old - together;
  return [1 - brisk - low - ankles - feet - together, brisk, low, ankles, feet, together];
}

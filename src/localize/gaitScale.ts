import { gaitValues } from '../exam/index.ts';
import { type Scale, withSlip } from './scale.ts';

export const gaitBits = [
  'spastic',
  'steppage',
  'ataxic',
  'hemiparetic',
  'waddling',
  'unable',
] as const;
export type GaitBit = (typeof gaitBits)[number];
/** Code of the gaits a lesion leads to expect, as a set of bits. */
export const gaitCode = (bits: ReadonlySet<GaitBit>): number =>
  gaitBits.reduce((code, bit, i) => code | (bits.has(bit) ? 1 << i : 0), 0);

export const gait: Scale = {
  id: 'gait',
  codes: 1 << gaitBits.length,
  values: gaitValues,
  varies: false,
  chances(code) {
    const expected = gaitBits.filter((_, i) => (code >> i) & 1);
    const base: Record<string, number> = {
      normal: 0.86,
      spastic: 0.01,
      steppage: 0.01,
      ataxic: 0.03,
      hemiparetic: 0.01,
      waddling: 0.01,
      antalgic: 0.055,
      unable: 0.015,
    };
    if (expected.length > 0) {
      for (const key of gaitValues) base[key] = (base[key] ?? 0) * 0.25;
      for (const bit of expected) base[bit] = (base[bit] ?? 0) + 0.7 / expected.length;
      base.unable = (base.unable ?? 0) + 0.05;
    }
    return withSlip(gaitValues.map((v) => base[v] ?? 0));
  },
  combine: (a, b) => a | b,
};

import { soundRate } from '../ports.ts';

/** Samples in the 10 ms that engines count by. */
export const samplesPerFrame = soundRate / 100;

import type { Calibration } from '../interpret/index.ts';
import embedded from './calibration.json' with { type: 'json' };

/** What the embedded model's scores mean; written by `npm run bench -- calibrate`. */
export const embeddedCalibration: Calibration = embedded;

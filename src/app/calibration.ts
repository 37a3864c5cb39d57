import type { Calibration } from '../interpret/index.ts';
import embedded from './calibration.json' with { type: 'json' };

/**
 * What the embedded model's scores mean: read off `npm run bench -- hearing --scores`, over eight demo
 * exams in two voices each and talk to the patient, so that no talk was recorded.
 */
export const embeddedCalibration: Calibration = embedded;

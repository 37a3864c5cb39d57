import type { Calibration } from '../interpret/index.ts';
import examEar from './calibration.examear.json' with { type: 'json' };
import embedded from './calibration.json' with { type: 'json' };

/**
 * What the embedded model's scores mean: read by hand off `npm run bench -- hearing --phrases --scores`,
 * phrases that no demo exam holds and talk to the patient, in two voices.
 */
export const embeddedCalibration: Calibration = embedded;

/** The same for the exam ear. */
export const examEarCalibration: Calibration = examEar;

/** What a recogniser's scores mean, by its id. */
export const calibrationOf = (id: string): Calibration =>
  id === 'examear' ? examEarCalibration : embeddedCalibration;

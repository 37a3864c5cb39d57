import type { Calibration } from '../interpret/index.ts';
import examEar from './calibration.examear.json' with { type: 'json' };
import embedded from './calibration.json' with { type: 'json' };

/**
 * What the embedded model's scores mean: read off `npm run bench -- hearing --scores`, over eight demo
 * exams in two voices each and talk to the patient, so that no talk was recorded.
 */
export const embeddedCalibration: Calibration = embedded;

/** The same for the exam ear. */
export const examEarCalibration: Calibration = examEar;

/** What a recogniser's scores mean, by its id. */
export const calibrationOf = (id: string): Calibration =>
  id === 'examear' ? examEarCalibration : embeddedCalibration;

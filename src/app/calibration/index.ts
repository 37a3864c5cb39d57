import type { Calibration } from '../../interpret/index.ts';
import { freeWordsCalibration } from '../models/calibration.ts';
import both from './both.json' with { type: 'json' };
import exam from './exam.json' with { type: 'json' };
import mixture from './mixture.json' with { type: 'json' };
import wideBand from './wideBand.json' with { type: 'json' };

/** Which ears hear: the exam ear with the mixture models for a second opinion, or one of them alone. */
export type Ears = 'both' | 'exam' | 'mixture';

/**
 * What scores mean, read off `npm run bench -- hearing --phrases --scores` with `calibrate`: phrases
 * that no demo exam holds and talk to the patient (see README.md beside this).
 */
export const calibrations = { both, exam, mixture, wideBand } as const satisfies Readonly<
  Record<string, Calibration>
>;

/** What the scores of a model mean, by its id; models of free words share one that is not measured. */
export function calibrationOf(model = 'soundswallower-en-us', ears: Ears = 'both'): Calibration {
  switch (model) {
    case 'soundswallower-en-us':
      return calibrations[ears];
    case 'pocketsphinx-en-us':
      return ears === 'mixture' ? wideBand : calibrations[ears];
    default:
      return freeWordsCalibration;
  }
}

import type { Calibration } from '../interpret/index.ts';
import examEar from './calibration.examear.json' with { type: 'json' };
import embedded from './calibration.json' with { type: 'json' };
import wideBand from './calibration.wideband.json' with { type: 'json' };
import { freeWordsCalibration } from './models/calibration.ts';

/**
 * What the embedded model's scores mean: read by hand off `npm run bench -- hearing --phrases --scores`,
 * phrases that no demo exam holds and talk to the patient, in two voices.
 * `attend` on one of them: of the questions it spares, each was about talk.
 */
export const embeddedCalibration: Calibration = embedded;

/** The same for the exam ear. */
export const examEarCalibration: Calibration = examEar;

/**
 * The same for the wide-band model: that it is examination speech fitted to `--phrases` in one voice,
 * the slots as the embedded model's, since too few of its own were wrong to fit any.
 */
export const wideBandCalibration: Calibration = wideBand;

const measured: Readonly<Record<string, Calibration>> = {
  'soundswallower-en-us': embeddedCalibration,
  'pocketsphinx-en-us': wideBandCalibration,
  examear: examEarCalibration,
};

/** What a model's scores mean, by its id; models of free words share one that is not measured. */
export const calibrationOf = (model = 'soundswallower-en-us'): Calibration =>
  measured[model] ?? freeWordsCalibration;

import type { Calibration } from '../../interpret/index.ts';

/**
 * What the scores of engines of free words mean (`engines/free`). Chosen and not measured: none of
 * them could be heard with here. So it is strict. Only what was written down word for word, each
 * slot of it far from its rivals, is recorded; what was written down in part, or with other words
 * beside it, is asked about at most; most other talk is passed over.
 */
export const freeWordsCalibration: Calibration = {
  // Next to 1 for a sentence written down as it is, 0.71 for the most there is for a part of one.
  exam: { middle: 0.47, slope: 30 },
  // Nats between the sentence and the nearest of another meaning.
  slots: { middle: 5, slope: 1 },
  record: 0.9,
  attend: 0.5,
};

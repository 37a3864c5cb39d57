/** How well an utterance was heard, as the recogniser measures it. Scores in nats. */
export interface Evidence {
  /** The best sentence against any speech whatever (see `advantageOf`). */
  readonly advantage: number;
  /** The best sentence against the nearest one of another meaning; absent where there is none. */
  readonly margin: number | undefined;
}

/** A logistic curve: the probability is a half at `middle` and grows with `slope`. */
export interface Curve {
  readonly middle: number;
  readonly slope: number;
}

/**
 * What scores mean, for one model: curves read off recordings, and
 * where on them a record is made, a question asked, and the utterance passed over.
 */
export interface Calibration {
  /** That it is examination speech at all. */
  readonly exam: Curve;
  /** That every slot was heard right, given that. */
  readonly slots: Curve;
  /** Recorded from this probability on. */
  readonly record: number;
  /** Where words are so few dB louder than the room, from this probability on, unless a part may have been lost (`loss.ts`). */
  readonly noise?: { readonly within: number; readonly record: number };
  /** Where sound falls by less than so many dB (`audio/echo.ts`), from this probability on. */
  readonly echo?: { readonly within: number; readonly record: number };
  /** A correction, which takes the place of what stands, from this probability on. */
  readonly correct?: number;
  /** Passed over below this probability of examination speech. */
  readonly attend: number;
  /** Sound of which nothing is known, in frames of 10 ms, that each utterance is weighed with. */
  readonly unheard?: number;
}

/**
 * How much better the sound is a sentence than any speech, for each 10 ms of it. A lead or an arrear over
 * little sound says little; so each utterance counts for some longer than it is.
 */
export function advantageOf(
  { best, anySpeech, frames }: { best: number; anySpeech: number; frames: number },
  { unheard = 0 }: Calibration,
): number {
  return (best - anySpeech) / Math.max(1, frames + unheard);
}

export interface Certainty {
  /** Probability that the utterance was heard right, 0 to 1. */
  readonly confidence: number;
  readonly certainty: 'sure' | 'unsure' | 'foreign';
}

/** Scores to a probability, and the probability to one of three ways to go on. */
export function certaintyOf({ advantage, margin }: Evidence, calibration: Calibration): Certainty {
  const exam = at(calibration.exam, advantage);
  const confidence = exam * (margin === undefined ? 1 : at(calibration.slots, margin));
  if (exam < calibration.attend) return { confidence, certainty: 'foreign' };
  return { confidence, certainty: confidence >= calibration.record ? 'sure' : 'unsure' };
}

const at = ({ middle, slope }: Curve, x: number): number =>
  1 / (1 + Math.exp(-slope * (x - middle)));

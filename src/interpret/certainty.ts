/** How well an utterance was heard, as the recogniser measures it. Scores in nats. */
export interface Evidence {
  /** The best sentence against any speech whatever (see `advantageOf`). */
  readonly advantage: number;
  /** The best sentence against the nearest one of another meaning; absent where there is none. */
  readonly margin: number | undefined;
  /** The word and the pause of it that fit their own sound least, against any speech in it; absent where nobody can tell. */
  readonly weakest?: { readonly word: number; readonly pause: number } | undefined;
  /** Said where it is hard to hear (`Calibration.hard`). */
  readonly hard?: boolean;
}

/** A logistic curve: the probability is a half at `middle` and grows with `slope`. */
export interface Curve {
  readonly middle: number;
  readonly slope: number;
}

/** What one score adds to a probability's logit: its weight for each of its units between two bounds, beyond which it says no more. */
export interface Term {
  readonly weight: number;
  readonly from: number;
  readonly to: number;
}

/** A logistic plane: scores that make up for each other. What is not known counts as the most of a margin, and the least of a fit. */
export interface Plane extends Readonly<Record<Score, Term>> {
  readonly start: number;
}

export const scores = ['advantage', 'margin', 'word', 'pause'] as const;
export type Score = (typeof scores)[number];

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
  /**
   * Where it is hard to hear, the same scores mean less, and no one of them enough: where words are so few dB louder than
   * the room (there a part may have been lost, too: `loss.ts`), or sound falls by less than so many dB (`audio/echo.ts`).
   */
  readonly hard?: {
    readonly overRoom: number;
    readonly fall: number;
    readonly right: Plane;
    /** Recorded from this probability on. */
    readonly record: number;
  };
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
export function certaintyOf(evidence: Evidence, calibration: Calibration): Certainty {
  const { advantage, margin } = evidence;
  const hard = evidence.hard === true ? calibration.hard : undefined;
  const exam = at(calibration.exam, advantage);
  const confidence =
    hard !== undefined
      ? on(hard.right, evidence)
      : exam * (margin === undefined ? 1 : at(calibration.slots, margin));
  if (exam < calibration.attend) return { confidence, certainty: 'foreign' };
  const { record } = hard ?? calibration;
  return { confidence, certainty: confidence >= record ? 'sure' : 'unsure' };
}

const at = ({ middle, slope }: Curve, x: number): number => logistic(slope * (x - middle));

/** The scores that a plane weighs, each within its bounds. */
export function scoresOn(plane: Plane, evidence: Evidence): Readonly<Record<Score, number>> {
  const { advantage, margin = Number.POSITIVE_INFINITY, weakest } = evidence;
  const { word, pause } = weakest ?? {};
  const within = (score: Score, x = Number.NEGATIVE_INFINITY): number =>
    Math.max(plane[score].from, Math.min(plane[score].to, x));
  return {
    advantage: within('advantage', advantage),
    margin: within('margin', margin),
    word: within('word', word),
    pause: within('pause', pause),
  };
}

function on(plane: Plane, evidence: Evidence): number {
  const given = scoresOn(plane, evidence);
  return logistic(scores.reduce((sum, one) => sum + plane[one].weight * given[one], plane.start));
}

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

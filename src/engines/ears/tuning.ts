/** How two ears are weighed together, in nats (see README.md). */
export const tuning = {
  /** A sentence so far behind, or not heard at all, is no further behind for the exam ear. */
  behind: 30,
  /** How far the mixture models may back what the exam ear heard, and how far object to it. */
  backs: 7,
  objects: 20,
  /** A lead of less is an objection: they hear once more, and may then back it less. */
  objected: 1,
  backsAgain: 2,
  /** A lead of so much needs no closer look. */
  enough: 12,
  /**
   * Whether it is examination speech at all, in nats for each frame of 10 ms. Where the exam ear doubts
   * it, the mixture models decide: with any speech beside it, they lose almost every sentence that was
   * not said. What they say counts as much as it tells one from the other (README.md).
   */
  talk: {
    /** Frames that an utterance counts longer than it is, as in `Calibration`. */
    unheard: 100,
    doubtful: { from: -0.12, to: -0.025 },
    /** So far behind any speech a sentence may be and still be backed. */
    backed: -0.45,
    counts: { for: 0.04, against: 0.03 },
  },
} as const;

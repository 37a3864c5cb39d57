/** Settings of hearing (see README.md for how each was found). */
export const tuning = {
  /** Nats behind the best way that a way is still followed, while listening and when hearing again. */
  beam: 40,
  beamAgain: 80,
  /**
   * Words are shown on which all ways agree that are no more nats behind the best, as long as it is no more
   * nats behind any speech.
   */
  near: 3,
  talk: 4,
  /** Looks ahead take such a share of the time that passes; what was not taken is kept up to so many ms. */
  looks: { share: 0.1, most: 120 },
  /** Price of a phone where any may follow any, in nats. */
  price: 1.5,
  /** Height of the noise added to all sound, peak to peak; 1 is full scale. */
  dither: 1e-4,
  /** A phone is told so many ms after its sound, by the level as it is smoothed (`../../audio/nearness.ts`). */
  lateMs: 140,
  /** Learning from an examiner's replies. */
  fit: {
    /** No fewer replies than the one are learnt from, and no more than the other kept. */
    least: 10,
    most: 25,
    /** Of so many replies one is kept out of learning. */
    every: 5,
    /** Nats a phone from which a reply is likely something else than its words. */
    doubtful: 1,
    steps: 10,
    rate: 0.03,
    momentum: 0.8,
    /** The pull of scale and shift towards none, against the loss of one reply. */
    pull: 3,
    /** The longest gradient, mean of the replies. */
    clip: 3,
    /** How much of what was learnt is tried, one after the other. */
    shares: [1, 0.5, 0.25],
    /** Learning goes on for about so many ms at once. */
    momentMs: 30,
  },
} as const;

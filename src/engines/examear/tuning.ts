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
} as const;

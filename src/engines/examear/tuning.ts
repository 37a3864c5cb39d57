/** Settings of hearing (see README.md for how each was found). */
export const tuning = {
  /** Nats behind the best way that a way is still followed, while listening and when hearing again. */
  beam: 24,
  beamAgain: 80,
  /** Price of a phone where any may follow any, in nats. */
  price: 1.5,
  /** Height of the noise added to all sound, peak to peak; 1 is full scale. */
  dither: 1e-4,
} as const;

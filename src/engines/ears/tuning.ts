/** How two ears are weighed together, in nats (see README.md). */
export const tuning = {
  /** A sentence so far behind, or not heard at all, is no further behind for the exam ear. */
  behind: 40,
  /** How far the mixture models may back what the exam ear heard, and how far object to it. */
  backs: 12,
  objects: 60,
} as const;

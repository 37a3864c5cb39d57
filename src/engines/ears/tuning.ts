/** How two ears are weighed together, in nats (see README.md). */
export const tuning = {
  /** A sentence so far behind, or not heard at all, is no further behind for the exam ear. */
  behind: 40,
  /** How far the mixture models may back what the exam ear heard, and how far object to it. */
  backs: 12,
  objects: 60,
  /** What the exam ear finds so much worse than its choice is never taken in its place. */
  near: 6,
  /** A lead of so much needs no closer look. */
  enough: 12,
} as const;

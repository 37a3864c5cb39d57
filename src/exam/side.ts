/** Which side of the body a finding belongs to. Speech may say "both"; a finding never does. */
export const sides = ['left', 'right', 'midline'] as const;
export type Side = (typeof sides)[number];

/** A side that has an opposite. */
export type Lateral = Exclude<Side, 'midline'>;
export const laterals: readonly Lateral[] = ['left', 'right'];

/** The other side; the midline is its own mirror image. */
export function mirror<S extends Side>(side: S): S {
  const mirrored: Side = side === 'left' ? 'right' : side === 'right' ? 'left' : 'midline';
  return mirrored as S;
}

import type { Sound } from '../ports.ts';

/** Root mean square of some sound, 0 to 1; 0 for none. */
export function loudness(sound: Sound): number {
  let sum = 0;
  for (const sample of sound) sum += sample * sample;
  return sound.length === 0 ? 0 : Math.sqrt(sum / sound.length);
}

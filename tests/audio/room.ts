import { type Sound, soundRate } from '../../src/ports.ts';
import { heardThrough } from '../bench/room.ts';
import { random } from '../localize/simulate.ts';

/** Sound in a room of nothing but echo, which falls evenly by 60 dB in so many seconds (ISO 3382-1), as loud as before. */
export function echoing(sound: Sound, seconds: number): Float32Array {
  const next = random(7);
  const response = Float32Array.from(
    { length: Math.round(seconds * soundRate) },
    (_, i) => (next() - 0.5) * 10 ** ((-3 * i) / (seconds * soundRate)),
  );
  return heardThrough(Float32Array.from(sound), response);
}

import type { Sound } from '../ports.ts';

/**
 * A whisper of noise for one utterance, the same each time: exact digital silence has no spectrum, and
 * is nothing that a model ever heard.
 */
export class Dither {
  /** Peak to peak; 1 is full scale. */
  readonly #height: number;
  #state = 1;

  constructor(height: number) {
    this.#height = height;
  }

  added(sound: Sound): Float32Array<ArrayBuffer> {
    let state = this.#state;
    const dithered = new Float32Array(sound.length);
    for (let i = 0; i < sound.length; i++) {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
      dithered[i] = (sound[i] ?? 0) + (state / 0x1_0000_0000 - 0.5) * this.#height;
    }
    this.#state = state;
    return dithered;
  }
}

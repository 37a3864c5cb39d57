import { Fourier } from '../fourier.ts';

const size = 512;
const hop = 160;
/** Bands that the trunk of the network sees, and those above them. */
export const melBands = 32;
export const highBands = 8;
const bands = melBands + highBands;
const bins = 256;

/**
 * Power in 32 bands from 60 to 3800 Hz and 8 from there to 7600, in Hann windows of 25 ms every 10 ms,
 * as log10 of the power of 16-bit samples plus 2: what the network was trained on.
 */
export class Mel {
  readonly #bands: Float32Array;
  readonly #window = new Float32Array(size);
  readonly #fourier = new Fourier(size);
  readonly #re = new Float64Array(size);
  readonly #im = new Float64Array(size);
  readonly #power = new Float64Array(bins);
  #pending = new Float32Array(0);

  /** @param bands weights, 256 spectral bins by 40 bands */
  constructor(bands: Float32Array) {
    this.#bands = bands;
    for (let i = 0; i < 400; i++) {
      this.#window[56 + i] = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / 400);
    }
  }

  reset(): void {
    this.#pending = new Float32Array(0);
  }

  /** Takes sound; gives the rows of bands that are complete with it. */
  push(sound: Float32Array): readonly Float32Array[] {
    const all = new Float32Array(this.#pending.length + sound.length);
    all.set(this.#pending);
    all.set(sound, this.#pending.length);
    const rows: Float32Array[] = [];
    let at = 0;
    for (; at + size <= all.length; at += hop) rows.push(this.#row(all, at));
    this.#pending = all.slice(at);
    return rows;
  }

  #row(sound: Float32Array, at: number): Float32Array {
    const [re, im, power] = [this.#re, this.#im, this.#power];
    for (let i = 0; i < size; i++) re[i] = (sound[at + i] ?? 0) * 32_768 * (this.#window[i] ?? 0);
    im.fill(0);
    this.#fourier.transform(re, im);
    for (let i = 0; i < bins; i++) power[i] = (re[i] ?? 0) ** 2 + (im[i] ?? 0) ** 2;
    const row = new Float32Array(bands);
    for (let band = 0; band < bands; band++) {
      let sum = 0;
      for (let i = 0; i < bins; i++) sum += (power[i] ?? 0) * (this.#bands[i * bands + band] ?? 0);
      row[band] = Math.log10(sum + 1) + 2;
    }
    return row;
  }
}

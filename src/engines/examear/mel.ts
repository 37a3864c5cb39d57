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
  readonly #cos = new Float64Array(size / 2);
  readonly #sin = new Float64Array(size / 2);
  readonly #swapped = new Uint16Array(size);
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
    for (let i = 0; i < size / 2; i++) {
      this.#cos[i] = Math.cos((2 * Math.PI * i) / size);
      this.#sin[i] = Math.sin((2 * Math.PI * i) / size);
    }
    for (let i = 0; i < size; i++) {
      let from = i;
      let to = 0;
      for (let bit = 1; bit < size; bit <<= 1) {
        to = (to << 1) | (from & 1);
        from >>= 1;
      }
      this.#swapped[i] = to;
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
    for (let i = 0; i < size; i++) {
      const to = this.#swapped[i] ?? 0;
      re[to] = (sound[at + i] ?? 0) * 32_768 * (this.#window[i] ?? 0);
      im[to] = 0;
    }
    for (let half = 1; half < size; half *= 2) {
      const step = size / 2 / half;
      for (let base = 0; base < size; base += 2 * half) {
        for (let k = 0; k < half; k++) {
          const [c, s] = [this.#cos[k * step] ?? 0, this.#sin[k * step] ?? 0];
          const a = base + k;
          const b = a + half;
          const x = (re[b] ?? 0) * c + (im[b] ?? 0) * s;
          const y = (im[b] ?? 0) * c - (re[b] ?? 0) * s;
          re[b] = (re[a] ?? 0) - x;
          im[b] = (im[a] ?? 0) - y;
          re[a] = (re[a] ?? 0) + x;
          im[a] = (im[a] ?? 0) + y;
        }
      }
    }
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

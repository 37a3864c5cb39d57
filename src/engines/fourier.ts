/** Fourier's transform of a whole number of samples, a power of two, in place. */
export class Fourier {
  readonly #size: number;
  readonly #cos: Float64Array;
  readonly #sin: Float64Array;
  readonly #swapped: Uint16Array;

  /** @param size a power of two, at most 32,768 */
  constructor(size: number) {
    this.#size = size;
    this.#cos = Float64Array.from({ length: size / 2 }, (_, i) =>
      Math.cos((2 * Math.PI * i) / size),
    );
    this.#sin = Float64Array.from({ length: size / 2 }, (_, i) =>
      Math.sin((2 * Math.PI * i) / size),
    );
    this.#swapped = Uint16Array.from({ length: size }, (_, i) => {
      let [from, to] = [i, 0];
      for (let bit = 1; bit < size; bit <<= 1) {
        to = (to << 1) | (from & 1);
        from >>= 1;
      }
      return to;
    });
  }

  /** Sums of x·exp(-2πikn/size). With the two parts given the other way round: the inverse, times the size. */
  transform(re: Float64Array, im: Float64Array): void {
    const [size, cos, sin] = [this.#size, this.#cos, this.#sin];
    for (let i = 0; i < size; i++) {
      const j = this.#swapped[i] ?? 0;
      if (j <= i) continue;
      const [x, y] = [re[i] ?? 0, im[i] ?? 0];
      re[i] = re[j] ?? 0;
      im[i] = im[j] ?? 0;
      re[j] = x;
      im[j] = y;
    }
    for (let half = 1; half < size; half *= 2) {
      const step = size / 2 / half;
      for (let base = 0; base < size; base += 2 * half) {
        for (let k = 0; k < half; k++) {
          const [c, s] = [cos[k * step] ?? 0, sin[k * step] ?? 0];
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
  }
}

import { soundRate } from '../../src/ports.ts';

/** A shoebox room with one absorption for all its walls. Lengths in metres. */
export interface Room {
  readonly size: readonly [number, number, number];
  /** Time in which sound falls by 60 dB, in seconds. */
  readonly reverberation: number;
}

const speedOfSound = 343;

/**
 * The impulse response from a mouth to a microphone `distance` away, by the image method (Allen and
 * Berkley 1979, J Acoust Soc Am 65:943): each reflection is a mirrored source, its strength what the
 * walls left of it over its way. Wall absorption by Sabine's formula (from memory).
 */
export function impulseResponse({ size, reverberation }: Room, distance: number): Float32Array {
  const [x, y, z] = size;
  const volume = x * y * z;
  const surface = 2 * (x * y + x * z + y * z);
  const kept = Math.sqrt(Math.max(0, 1 - (0.161 * volume) / (surface * reverberation)));
  const source = [x * 0.31, y * 0.43, 1.5] as const;
  const microphone = [source[0] + distance * 0.8, source[1] + distance * 0.6, 1.2] as const;
  const response = new Float32Array(Math.round(reverberation * soundRate));
  const reach = size.map((side) => Math.ceil((reverberation * speedOfSound) / (2 * side)));
  const [nx = 0, ny = 0, nz = 0] = reach;
  for (let i = -nx; i <= nx; i++) {
    for (let j = -ny; j <= ny; j++) {
      for (let k = -nz; k <= nz; k++) {
        for (let mirrored = 0; mirrored < 8; mirrored++) {
          const mx = mirrored & 1;
          const my = (mirrored >> 1) & 1;
          const mz = mirrored >> 2;
          const way = Math.hypot(
            (1 - 2 * mx) * source[0] + 2 * i * x - microphone[0],
            (1 - 2 * my) * source[1] + 2 * j * y - microphone[1],
            (1 - 2 * mz) * source[2] + 2 * k * z - microphone[2],
          );
          const at = Math.round((way / speedOfSound) * soundRate);
          if (at >= response.length) continue;
          const walls =
            Math.abs(i - mx) +
            Math.abs(i) +
            Math.abs(j - my) +
            Math.abs(j) +
            Math.abs(k - mz) +
            Math.abs(k);
          response[at] = (response[at] ?? 0) + kept ** walls / Math.max(way, 0.1);
        }
      }
    }
  }
  return response;
}

/** Sound through a response, as long as the sound, as loud as before. */
export function heardThrough(sound: Float32Array, response: Float32Array): Float32Array {
  const block = 1 << Math.ceil(Math.log2(response.length * 2));
  const step = block - response.length;
  const filter = spectrum(response, block);
  const out = new Float32Array(sound.length);
  for (let at = 0; at < sound.length; at += step) {
    const part = spectrum(sound.subarray(at, at + step), block);
    for (let i = 0; i < block; i++) {
      const re = part.re[i] ?? 0;
      const im = part.im[i] ?? 0;
      const fr = filter.re[i] ?? 0;
      const fi = filter.im[i] ?? 0;
      // Conjugated, so that the forward transform gives the inverse.
      part.re[i] = re * fr - im * fi;
      part.im[i] = -(re * fi + im * fr);
    }
    transform(part.re, part.im);
    for (let i = 0; i < block && at + i < out.length; i++) {
      out[at + i] = (out[at + i] ?? 0) + (part.re[i] ?? 0) / block;
    }
  }
  const gain = Math.sqrt(power(sound) / Math.max(power(out), 1e-12));
  return out.map((sample) => sample * gain);
}

const power = (sound: Float32Array): number =>
  sound.reduce((sum, sample) => sum + sample * sample, 0) / Math.max(1, sound.length);

interface Spectrum {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

function spectrum(sound: Float32Array, size: number): Spectrum {
  const re = new Float64Array(size);
  re.set(sound);
  const im = new Float64Array(size);
  transform(re, im);
  return { re, im };
}

/** The discrete Fourier transform in place, by halves (Cooley and Tukey 1965). */
function transform(re: Float64Array, im: Float64Array): void {
  const n = re.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [re[i], re[j]] = [re[j] ?? 0, re[i] ?? 0];
      [im[i], im[j]] = [im[j] ?? 0, im[i] ?? 0];
    }
  }
  for (let size = 2; size <= n; size <<= 1) {
    const half = size >> 1;
    for (let k = 0; k < half; k++) {
      const wr = Math.cos((-2 * Math.PI * k) / size);
      const wi = Math.sin((-2 * Math.PI * k) / size);
      for (let i = k; i < n; i += size) {
        const ar = re[i + half] ?? 0;
        const ai = im[i + half] ?? 0;
        const tr = ar * wr - ai * wi;
        const ti = ar * wi + ai * wr;
        re[i + half] = (re[i] ?? 0) - tr;
        im[i + half] = (im[i] ?? 0) - ti;
        re[i] = (re[i] ?? 0) + tr;
        im[i] = (im[i] ?? 0) + ti;
      }
    }
  }
}

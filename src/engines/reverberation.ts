import type { Sound } from '../ports.ts';
import { Fourier } from './fourier.ts';

const size = 512;
const hop = 128;
const bins = size / 2 + 1;
/** Below this bin (62 Hz) there is no speech to mend. */
const lowest = 2;
/** What comes back is told from what has gone before: from so many frames ago, over so many. */
const delay = 3;
const taps = 12;
const rounds = 2;
/** Longer sound is taken in pieces: the more of it, the surer; the longer, the likelier somebody moved. */
const longest = 8 * 16_000;
/** A frame is never fainter, when it is weighed, than this share of the mean. */
const faintest = 1e-4;

const window = Float64Array.from({ length: size }, (_, i) =>
  Math.sqrt(0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size)),
);
const fourier = new Fourier(size);

/**
 * Sound with what the room gave back of it taken off, as far as one microphone can tell: in every band of the
 * spectrum what can be foretold from 24 ms before and earlier is late reverberation, speech itself hardly can.
 * As long as the sound that came; what is shorter than 0.2 s, or none, stays as it is.
 *
 * Delayed linear prediction with weights: Nakatani, Yoshioka, Kinoshita, Miyoshi, Juang, "Speech
 * dereverberation based on variance-normalized delayed linear prediction", IEEE Transactions on Audio,
 * Speech, and Language Processing 18 (2010), written from memory.
 */
export function withoutReverberation(sound: Sound): Sound {
  const pieces = Math.max(1, Math.round(sound.length / longest));
  const each = Math.ceil(sound.length / pieces);
  const dry = new Float32Array(sound.length);
  for (let at = 0; at < sound.length; at += each) {
    // A little of what was before, so that the seam is not the beginning of a prediction.
    const from = Math.max(0, at - (delay + taps) * hop - size);
    dry.set(mended(sound.subarray(from, at + each)).subarray(at - from), at);
  }
  return dry;
}

/** One band of the spectrum: the frames' values, real and imaginary part. */
interface Band {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

function mended(sound: Sound): Sound {
  const frames = Math.floor((sound.length - size) / hop) + 1;
  if (frames < 2 * (delay + taps)) return sound;
  const bands = analysed(sound, frames);
  return synthesised(
    bands.map((band, bin) => (bin < lowest ? band : dried(band))),
    frames,
    sound,
  );
}

function analysed(sound: Sound, frames: number): readonly Band[] {
  const bands = Array.from({ length: bins }, () => ({
    re: new Float64Array(frames),
    im: new Float64Array(frames),
  }));
  const [re, im] = [new Float64Array(size), new Float64Array(size)];
  for (let t = 0; t < frames; t++) {
    for (let i = 0; i < size; i++) re[i] = (sound[t * hop + i] ?? 0) * (window[i] ?? 0);
    im.fill(0);
    fourier.transform(re, im);
    for (const [bin, band] of bands.entries()) {
      band.re[t] = re[bin] ?? 0;
      band.im[t] = im[bin] ?? 0;
    }
  }
  return bands;
}

function synthesised(bands: readonly Band[], frames: number, sound: Sound): Sound {
  const out = new Float32Array(sound.length);
  const weight = new Float32Array(sound.length);
  const [re, im] = [new Float64Array(size), new Float64Array(size)];
  for (let t = 0; t < frames; t++) {
    for (const [bin, band] of bands.entries()) {
      const [x, y] = [band.re[t] ?? 0, band.im[t] ?? 0];
      re[bin] = x;
      im[bin] = y;
      if (bin > 0 && bin < size / 2) {
        re[size - bin] = x;
        im[size - bin] = -y;
      }
    }
    // The parts given the other way round: the inverse.
    fourier.transform(im, re);
    for (let i = 0; i < size; i++) {
      const [at, w] = [t * hop + i, window[i] ?? 0];
      out[at] = (out[at] ?? 0) + ((re[i] ?? 0) / size) * w;
      weight[at] = (weight[at] ?? 0) + w * w;
    }
  }
  // The ends lie under too few frames; they stay as they came.
  return out.map((x, i) => ((weight[i] ?? 0) > 0.05 ? x / (weight[i] ?? 1) : (sound[i] ?? 0)));
}

/** A band less what its own past foretells of it, found in a few rounds of weighed least squares. */
function dried(band: Band): Band {
  let dry = band;
  for (let round = 0; round < rounds; round++) dry = less(band, foretelling(band, weights(dry)));
  return dry;
}

/** Loud frames are speech, and their fit matters less: one over the power around each frame. */
function weights({ re, im }: Band): Float64Array {
  const power = re.map((x, t) => x * x + (im[t] ?? 0) ** 2);
  const around = power.map((p, t) => (p + (power[t - 1] ?? p) + (power[t + 1] ?? p)) / 3);
  const least = (faintest * around.reduce((sum, p) => sum + p, 0)) / around.length + 1e-12;
  return around.map((p) => 1 / Math.max(least, p));
}

/** The filter that foretells a band best: `taps` complex numbers, by the normal equations. */
function foretelling({ re, im }: Band, weight: Float64Array): Band {
  // Rows of the equations, the right-hand side last; the matrix is Hermitian, so half of it is summed.
  const wide = taps + 1;
  const [a, b] = [new Float64Array(taps * wide), new Float64Array(taps * wide)];
  for (let t = delay + taps - 1; t < re.length; t++) {
    const w = weight[t] ?? 0;
    const [x, y] = [re[t] ?? 0, im[t] ?? 0];
    for (let i = 0; i < taps; i++) {
      const [u, v] = [w * (re[t - delay - i] ?? 0), w * (im[t - delay - i] ?? 0)];
      const row = i * wide;
      for (let j = 0; j <= i; j++) {
        const [p, q] = [re[t - delay - j] ?? 0, im[t - delay - j] ?? 0];
        a[row + j] = (a[row + j] ?? 0) + u * p + v * q;
        b[row + j] = (b[row + j] ?? 0) + u * q - v * p;
      }
      a[row + taps] = (a[row + taps] ?? 0) + u * x + v * y;
      b[row + taps] = (b[row + taps] ?? 0) + u * y - v * x;
    }
  }
  for (let i = 0; i < taps; i++) {
    for (let j = i + 1; j < taps; j++) {
      a[i * wide + j] = a[j * wide + i] ?? 0;
      b[i * wide + j] = -(b[j * wide + i] ?? 0);
    }
    a[i * wide + i] = (a[i * wide + i] ?? 0) * (1 + 1e-6) + 1e-12;
  }
  return solved(a, b);
}

/** Gauss and Jordan's elimination of complex equations; Hermitian and positive, they need no pivots. */
function solved(a: Float64Array, b: Float64Array): Band {
  const wide = taps + 1;
  for (let c = 0; c < taps; c++) {
    const [p, q] = [a[c * wide + c] ?? 1, b[c * wide + c] ?? 0];
    const power = p * p + q * q;
    for (let r = 0; r < taps; r++) {
      if (r === c) continue;
      const [x, y] = [a[r * wide + c] ?? 0, b[r * wide + c] ?? 0];
      const [u, v] = [(x * p + y * q) / power, (y * p - x * q) / power];
      for (let k = c; k < wide; k++) {
        const [s, t] = [a[c * wide + k] ?? 0, b[c * wide + k] ?? 0];
        a[r * wide + k] = (a[r * wide + k] ?? 0) - u * s + v * t;
        b[r * wide + k] = (b[r * wide + k] ?? 0) - u * t - v * s;
      }
    }
  }
  const [re, im] = [new Float64Array(taps), new Float64Array(taps)];
  for (let c = 0; c < taps; c++) {
    const [p, q] = [a[c * wide + c] ?? 1, b[c * wide + c] ?? 0];
    const [x, y] = [a[c * wide + taps] ?? 0, b[c * wide + taps] ?? 0];
    const power = p * p + q * q;
    re[c] = (x * p + y * q) / power;
    im[c] = (y * p - x * q) / power;
  }
  return { re, im };
}

function less(band: Band, filter: Band): Band {
  const [re, im] = [band.re.slice(), band.im.slice()];
  for (let t = delay + taps - 1; t < re.length; t++) {
    for (let i = 0; i < taps; i++) {
      const [p, q] = [band.re[t - delay - i] ?? 0, band.im[t - delay - i] ?? 0];
      const [u, v] = [filter.re[i] ?? 0, filter.im[i] ?? 0];
      re[t] = (re[t] ?? 0) - u * p + v * q;
      im[t] = (im[t] ?? 0) - u * q - v * p;
    }
  }
  return { re, im };
}

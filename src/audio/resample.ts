import { type Sound, soundRate } from '../ports.ts';

/** Zero crossings of the sinc kept on each side; more is steeper and slower. */
const crossings = 32;
/** Kaiser window: about 80 dB of stop band (Kaiser 1974, β = 0.1102 (A − 8.7)). */
const beta = 0.1102 * (80 - 8.7);
/** Cut-off as a part of the lower Nyquist rate; the rest is the transition band. */
const passband = 0.94;

/** Takes sound at one rate, a piece at a time, and gives it at 16 kHz. */
export interface Resampler {
  push(samples: Float32Array): Sound;
  /** What is left when no more comes. */
  flush(): Sound;
}

/**
 * @param rate samples a second of what is pushed, 8,000 to 192,000
 * @throws RangeError for a rate that no sound card gives
 */
export function createResampler(rate: number): Resampler {
  if (!Number.isInteger(rate) || rate < 4000 || rate > 400_000) {
    throw new RangeError(`${rate} Hz is no rate of sound that can be heard`);
  }
  if (rate === soundRate) {
    return { push: (samples) => samples, flush: () => new Float32Array(0) };
  }
  const divisor = gcd(rate, soundRate);
  const up = soundRate / divisor;
  const down = rate / divisor;
  // The sinc is as wide as the slower of the two rates needs, counted in input samples.
  const scale = passband * Math.min(1, soundRate / rate);
  const half = Math.ceil(crossings / scale);
  const kernels = new Map<number, Float32Array>();
  const kernelOf = (phase: number): Float32Array => {
    const known = kernels.get(phase);
    if (known !== undefined) return known;
    const made = kernel(phase / up, half, scale);
    kernels.set(phase, made);
    return made;
  };

  // `history` holds input from index `first` on; output n sits at input time n · down / up.
  let history = new Float32Array(half);
  let first = -half;
  let n = 0;
  const produce = (until: number): Sound => {
    const out: number[] = [];
    for (;;) {
      const whole = Math.floor((n * down) / up);
      if (whole + half >= until) break;
      const taps = kernelOf((n * down) % up);
      const start = whole - half + 1 - first;
      let sum = 0;
      for (let k = 0; k < taps.length; k++) sum += (taps[k] ?? 0) * (history[start + k] ?? 0);
      out.push(sum);
      n += 1;
    }
    const keepFrom = Math.floor((n * down) / up) - half + 1;
    if (keepFrom > first) {
      history = history.slice(keepFrom - first);
      first = keepFrom;
    }
    return Float32Array.from(out);
  };
  return {
    push(samples) {
      const joined = new Float32Array(history.length + samples.length);
      joined.set(history);
      joined.set(samples, history.length);
      history = joined;
      return produce(first + history.length);
    },
    flush() {
      const end = first + history.length;
      const padded = new Float32Array(history.length + 2 * half);
      padded.set(history);
      history = padded;
      return produce(end + half);
    },
  };
}

/** Taps for an output that lies `fraction` of a sample after an input sample. */
function kernel(fraction: number, half: number, scale: number): Float32Array {
  const taps = new Float32Array(2 * half);
  for (let k = 0; k < taps.length; k++) {
    const x = k - half + 1 - fraction;
    const along = x / half;
    const window =
      Math.abs(along) >= 1 ? 0 : bessel(beta * Math.sqrt(1 - along * along)) / bessel(beta);
    const phase = Math.PI * scale * x;
    taps[k] = window * scale * (x === 0 ? 1 : Math.sin(phase) / phase);
  }
  return taps;
}

/** Modified Bessel function of the first kind, order zero, by its series. */
function bessel(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

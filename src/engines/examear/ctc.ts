const never = Number.NEGATIVE_INFINITY;

/** ln(e^a + e^b) */
function plus(a: number, b: number): number {
  if (a === never) return b;
  if (b === never) return a;
  return a > b ? a + Math.log1p(Math.exp(b - a)) : b + Math.log1p(Math.exp(a - b));
}

/** Logits, row by row, as natural-log probabilities of each row. */
export function logShares(logits: Float32Array, labels: number): Float32Array {
  const out = new Float32Array(logits.length);
  for (let from = 0; from < logits.length; from += labels) {
    let most = never;
    for (let i = from; i < from + labels; i++) most = Math.max(most, logits[i] ?? 0);
    let sum = 0;
    for (let i = from; i < from + labels; i++) sum += Math.exp((logits[i] ?? 0) - most);
    const whole = most + Math.log(sum);
    for (let i = from; i < from + labels; i++) out[i] = (logits[i] ?? 0) - whole;
  }
  return out;
}

export interface Ctc {
  /** -ln of the probability of the phones, over all their alignments. */
  readonly loss: number;
  /** Of the loss to each logit, frames by labels. */
  readonly gradient: Float32Array;
}

/**
 * Connectionist temporal classification: how probable these phones are over all ways to lay them, with none
 * between, along the frames; and what each logit does to that. In logarithms throughout.
 *
 * Graves, Fernández, Gomez, Schmidhuber 2006, ICML, equations 5 to 16.
 *
 * @param logs natural-log probabilities, frames by labels; label 0 is none
 * @returns nothing where the frames are too few for the phones
 */
export function ctc(
  logs: Float32Array,
  phones: readonly number[],
  labels: number,
): Ctc | undefined {
  const frames = logs.length / labels;
  const states = 2 * phones.length + 1;
  const label = (state: number): number => (state % 2 === 1 ? (phones[(state - 1) / 2] ?? 0) : 0);
  const at = (frame: number, state: number): number => logs[frame * labels + label(state)] ?? never;
  /** Whether a state may be gone to from two before it: over a none, to another phone. */
  const skips = (state: number): boolean =>
    state % 2 === 1 && state > 1 && label(state) !== label(state - 2);
  if (frames === 0) return undefined;

  const forth = new Float64Array(frames * states).fill(never);
  forth[0] = at(0, 0);
  if (states > 1) forth[1] = at(0, 1);
  for (let t = 1; t < frames; t++) {
    const before = (t - 1) * states;
    for (let s = 0; s < states; s++) {
      let sum = forth[before + s] ?? never;
      if (s > 0) sum = plus(sum, forth[before + s - 1] ?? never);
      if (skips(s)) sum = plus(sum, forth[before + s - 2] ?? never);
      forth[t * states + s] = sum + at(t, s);
    }
  }
  const end = (frames - 1) * states;
  const last = forth[end + states - 1] ?? never;
  const whole = states > 1 ? plus(last, forth[end + states - 2] ?? never) : last;
  if (whole === never) return undefined;

  const gradient = new Float32Array(logs.length);
  for (let i = 0; i < logs.length; i++) gradient[i] = Math.exp(logs[i] ?? never);
  let back = new Float64Array(states).fill(never);
  back[states - 1] = 0;
  if (states > 1) back[states - 2] = 0;
  for (let t = frames - 1; t >= 0; t--) {
    if (t < frames - 1) {
      const next = new Float64Array(states);
      for (let s = 0; s < states; s++) {
        let sum = (back[s] ?? never) + at(t + 1, s);
        if (s + 1 < states) sum = plus(sum, (back[s + 1] ?? never) + at(t + 1, s + 1));
        if (s + 2 < states && skips(s + 2)) {
          sum = plus(sum, (back[s + 2] ?? never) + at(t + 1, s + 2));
        }
        next[s] = sum;
      }
      back = next;
    }
    for (let s = 0; s < states; s++) {
      const share = Math.exp((forth[t * states + s] ?? never) + (back[s] ?? never) - whole);
      const i = t * labels + label(s);
      gradient[i] = (gradient[i] ?? 0) - share;
    }
  }
  return { loss: -whole, gradient };
}

import { ctc, logShares } from './ctc.ts';
import { Head } from './head.ts';
import { type Affine, labels } from './network.ts';
import type { Reply } from './reply.ts';
import { tuning } from './tuning.ts';
import type { Weights } from './weights.ts';

/** Of a scale and a shift for each number that enters the head, in units of its spread. */
interface Change {
  readonly scale: Float64Array;
  readonly shift: Float64Array;
}

interface Spread {
  readonly mean: Float64Array;
  readonly size: Float64Array;
}

export interface Lesson {
  /** What the examiner said, oldest first. Every fifth is not learnt from: it tells whether it helped. */
  readonly replies: readonly Reply[];
  /** What must not be heard worse, whoever speaks. */
  readonly common: readonly Reply[];
  /** What is used now. */
  readonly now: Affine | undefined;
}

export interface Learnt extends Affine {
  /** How many replies it was learnt from. */
  readonly replies: number;
}

/**
 * Learns a fit: gradient descent on the CTC loss of the replies, of a scale and a shift of what enters the
 * head. Stops every few ms for whoever runs it. See README.md for how its settings were found.
 *
 * @returns nothing where the replies seem to be something else than their words, where the common test
 *   would be heard worse even with a quarter of what was learnt, or where the replies that were kept out would
 */
export function* learn(
  weights: Weights,
  { replies, common, now }: Lesson,
): Generator<void, Learnt | undefined> {
  const { every, doubtful, shares } = tuning.fit;
  const kept = replies.filter((_, i) => i % every === every - 1);
  const taught = replies.filter((_, i) => i % every !== every - 1);
  if (kept.length === 0 || common.length === 0) return undefined;
  const head = yield* Head.of(weights);
  const spread = yield* spreadOf([...replies, ...common], head.inputs);

  const clear: Reply[] = [];
  for (const reply of taught) {
    if ((yield* lossOf(head, [reply], undefined)) <= doubtful) clear.push(reply);
  }
  if (clear.length * 2 < taught.length) return undefined;

  const change = yield* descended(head, clear, spread);
  const commonBefore = yield* lossOf(head, common, undefined);
  const keptBefore = yield* lossOf(head, kept, now);
  for (const share of shares) {
    const fit = affine(change, spread, share);
    if ((yield* lossOf(head, common, fit)) > commonBefore) continue;
    if ((yield* lossOf(head, kept, fit)) < keptBefore) return { ...fit, replies: clear.length };
  }
  return undefined;
}

function* descended(
  head: Head,
  replies: readonly Reply[],
  spread: Spread,
): Generator<void, Change> {
  const { steps, rate, momentum, pull, clip } = tuning.fit;
  const { inputs } = head;
  const [scale, shift] = [new Float64Array(inputs), new Float64Array(inputs)];
  const [scaleSpeed, shiftSpeed] = [new Float64Array(inputs), new Float64Array(inputs)];
  for (let step = 0; step < steps; step++) {
    const ofScale = scale.map((s) => 2 * pull * s);
    const ofShift = shift.map((t) => 2 * pull * t);
    const fit = affine({ scale, shift }, spread, 1);
    for (const { input, phones } of replies) {
      const logits = yield* head.forward(fitted(input, fit));
      const found = ctc(logShares(logits, labels), phones, labels);
      yield;
      if (found === undefined) continue;
      const gradient = yield* head.backward(found.gradient);
      for (let i = 0; i < gradient.length; i++) {
        const at = i % inputs;
        const g = gradient[i] ?? 0;
        const size = spread.size[at] ?? 0;
        ofScale[at] = (ofScale[at] ?? 0) + g * ((input[i] ?? 0) - (spread.mean[at] ?? 0));
        ofShift[at] = (ofShift[at] ?? 0) + g * size;
      }
    }
    let norm = 0;
    for (const g of [...ofScale, ...ofShift]) norm += (g / replies.length) ** 2;
    const by = Math.min(1, clip / Math.max(Math.sqrt(norm), 1e-9)) / replies.length;
    for (let i = 0; i < inputs; i++) {
      scaleSpeed[i] = momentum * (scaleSpeed[i] ?? 0) + by * (ofScale[i] ?? 0);
      shiftSpeed[i] = momentum * (shiftSpeed[i] ?? 0) + by * (ofShift[i] ?? 0);
      scale[i] = (scale[i] ?? 0) - rate * (scaleSpeed[i] ?? 0);
      shift[i] = (shift[i] ?? 0) - rate * (shiftSpeed[i] ?? 0);
    }
  }
  return { scale, shift };
}

/** Loss of all their phones, in nats a phone. */
function* lossOf(
  head: Head,
  replies: readonly Reply[],
  fit: Affine | undefined,
): Generator<void, number> {
  let [sum, count] = [0, 0];
  for (const { input, phones } of replies) {
    const logits = yield* head.forward(fit === undefined ? input : fitted(input, fit));
    sum += ctc(logShares(logits, labels), phones, labels)?.loss ?? Number.POSITIVE_INFINITY;
    count += phones.length;
    yield;
  }
  return sum / count;
}

function fitted(input: Float32Array, { scale, shift }: Affine): Float32Array {
  const inputs = scale.length;
  return input.map((x, i) => x * (scale[i % inputs] ?? 1) + (shift[i % inputs] ?? 0));
}

/** x + share * (scale * (x - mean) + shift * size), as a multiple of x and something more. */
function affine({ scale, shift }: Change, { mean, size }: Spread, share: number): Affine {
  return {
    scale: scale.map((s) => 1 + share * s),
    shift: scale.map((s, i) => share * ((shift[i] ?? 0) * (size[i] ?? 0) - s * (mean[i] ?? 0))),
  };
}

/** Mean and standard deviation of each number that enters. */
function* spreadOf(replies: readonly Reply[], inputs: number): Generator<void, Spread> {
  const [sum, squares] = [new Float64Array(inputs), new Float64Array(inputs)];
  let rows = 0;
  for (const { input } of replies) {
    rows += input.length / inputs;
    for (let i = 0; i < input.length; i++) {
      const [x, at] = [input[i] ?? 0, i % inputs];
      sum[at] = (sum[at] ?? 0) + x;
      squares[at] = (squares[at] ?? 0) + x * x;
    }
    yield;
  }
  const mean = sum.map((all) => all / rows);
  return {
    mean,
    size: squares.map((all, i) => Math.sqrt(Math.max(0, all / rows - (mean[i] ?? 0) ** 2))),
  };
}

import { bend, Convolution, type Layer, Pool, Rows, type Taps, taps } from './layer.ts';
import { highBands, melBands } from './mel.ts';
import { Workshop } from './product.ts';
import type { Weights } from './weights.ts';

/** Labels of a frame: none, then the phones in order. */
export const labels = 40;
/** A frame is so long. */
export const frameMs = 20;
/** In a look ahead the last row stays for so many; then it is as quiet as before the speech (README.md). */
const held = 3;
/** Bands' rows repeated before the first of an utterance. */
const before = 40;
/** After the last: as many, and as many more as the head looks ahead. */
const after = 40 + 32;
const atOnce = 40;
const width = 288;
/** The head's blocks; rows that each of a block's rows sees, and how many of them lie before it. */
export const blocks = 8;
export const kernel = 7;
export const left = 5;
const tapShift = 4;
/** Rows of the bands above that the head sees at once, of which first, and numbers made of them. */
const high = { rows: 12, shift: 21, step: 4, out: 64 } as const;

/** Channels of the trunk's convolutions (time, bands), and pools (rows on to the next). */
const trunk = [
  { time: 1, out: 24 },
  { time: 3, out: 24 },
  { pool: 2 },
  ...pairs(2, 48),
  { pool: 1 },
  ...pairs(2, 72),
  { pool: 2 },
  ...pairs(2, 96),
  { pool: 1 },
  ...pairs(2, 96),
] as const;

function pairs(count: number, out: number) {
  return Array.from({ length: count }, () => [
    { time: 1, out },
    { time: 3, out },
  ]).flat();
}

/**
 * The trained network, run along the sound as it comes: rows of bands in, log probabilities of the
 * labels out, `labels` numbers for each frame of 20 ms.
 */
export class Network {
  readonly #mel: Rows;
  readonly #high: Rows;
  readonly #early: Rows;
  readonly #late: Rows;
  readonly #last: Rows;
  readonly #layers: readonly Layer[];
  readonly #enter: Enter;
  readonly #leave: Taps;
  readonly #scratch: Rows;
  readonly #shop: Workshop;
  /** First and last row of the utterance. */
  #first: Float32Array | undefined;
  #edge: Float32Array | undefined;
  #rowsIn = 0;
  #framesOut = 0;

  constructor(weights: Weights) {
    // Weights 8 MB, rows about 4 MB.
    const shop = new Workshop(14e6);
    this.#shop = shop;
    const layers: Layer[] = [];
    this.#mel = new Rows(shop, melBands, 1, atOnce + 4);
    let rows = new Rows(shop, melBands, 24, atOnce + 8);
    layers.push(new First(this.#mel, rows, weights.of('trunk.0'), weights.of('trunk.0.bias')));
    let index = 1;
    this.#early = new Rows(shop, 1, 192, atOnce + 24);
    for (const part of trunk) {
      if ('pool' in part) {
        const to = new Rows(shop, rows.bands / 2, rows.channels, atOnce + 8);
        layers.push(new Pool(rows, to, part.pool, part.pool));
        rows = to;
        if (rows.bands === 2) layers.push(new Tap(rows, this.#early));
        continue;
      }
      const to = new Rows(shop, rows.bands, part.out, atOnce + 8);
      const shape = { out: part.out, into: rows.channels, taps: 3 };
      const [w, b] = [weights.of(`trunk.${index}`), weights.of(`trunk.${index}.bias`)];
      const along = part.time === 3 ? 'time' : 'bands';
      layers.push(new Convolution(shop, rows, to, taps(shop, w, shape, b), along));
      rows = to;
      index += 1;
    }
    const one = new Rows(shop, 1, 96, atOnce + 8);
    layers.push(new Pool(rows, one, 2, 1));
    this.#late = new Rows(shop, 1, 96, atOnce + 8);
    const end = taps(shop, weights.of('trunk.last'), { out: 96, into: 96, taps: 3 });
    const plain = { apart: 2, curve: false };
    layers.push(new Convolution(shop, one, this.#late, end, 'time', plain));
    let head = new Rows(shop, 1, width, atOnce + 8);
    this.#high = new Rows(shop, 1, highBands, atOnce + high.shift + high.rows);
    const above = new Rows(shop, 1, high.out, atOnce + 24);
    layers.push(new High(shop, this.#high, above, weights));
    this.#enter = new Enter(shop, [this.#early, this.#late, above], head, weights);
    layers.push(this.#enter);
    for (let i = 0; i < blocks; i++) {
      const to = new Rows(shop, 1, width, atOnce + 8);
      layers.push(new Residual(shop, head, to, weights, `block.${i}`));
      head = to;
    }
    this.#last = head;
    this.#layers = layers;
    const shape = { out: 2 * labels, into: width, taps: 1 };
    this.#leave = taps(shop, weights.of('leave'), shape, weights.of('leave.bias'));
    this.#scratch = new Rows(shop, 1, 2 * labels, atOnce + 8);
    this.reset();
  }

  /** Begins another utterance. */
  reset(): void {
    for (const layer of this.#layers) layer.reset();
    this.#last.count = 0;
    this.#first = undefined;
    this.#edge = undefined;
    this.#rowsIn = 0;
    this.#framesOut = 0;
  }

  /** Hears with a fit from the next row on; as it was trained without one. */
  use(fit: Affine | undefined): void {
    this.#enter.use(fit);
  }

  /**
   * What entered the head since `reset`, a row for two frames and some more at the end; the same whatever
   * fit is used. No more than of `most` rows.
   */
  entered(most: number): readonly Float32Array[] {
    return this.#enter.seen(most);
  }

  push(rows: readonly Float32Array[]): readonly Float32Array[] {
    const [first] = rows;
    if (first === undefined) return [];
    const lead = this.#edge === undefined ? Array.from({ length: before }, () => first) : [];
    this.#first ??= first;
    this.#edge = rows.at(-1);
    this.#rowsIn += rows.length;
    return this.#run([...lead, ...rows]);
  }

  /** What was held back waiting for more. */
  finish(): readonly Float32Array[] {
    return this.#rest(after);
  }

  /** What was held back, as far as it can be told now; all goes on as if that had not been asked. */
  look(): readonly Float32Array[] {
    const back = [this.#shop.keep(), ...this.#layers.map((layer) => layer.keep?.())];
    const out = this.#framesOut;
    const frames = this.#rest(held);
    for (const put of back) put?.();
    this.#framesOut = out;
    return frames;
  }

  /** Frames of what was pushed and did not come yet: the last row stays for so long, then it is as at first. */
  #rest(stays: number): readonly Float32Array[] {
    const [first, edge] = [this.#first, this.#edge];
    if (first === undefined || edge === undefined) return [];
    const have = this.#framesOut;
    const frames = this.#run(Array.from({ length: after }, (_, i) => (i < stays ? edge : first)));
    return frames.slice(0, Math.max(0, framesOf(this.#rowsIn) - have));
  }

  #run(rows: readonly Float32Array[]): readonly Float32Array[] {
    const frames: Float32Array[] = [];
    for (let from = 0; from < rows.length; from += atOnce) {
      for (const row of rows.slice(from, from + atOnce)) {
        this.#mel.extend(1);
        this.#mel.block.data.set(
          row.subarray(0, melBands),
          this.#mel.index(this.#mel.count - 1) + 1,
        );
        this.#high.extend(1);
        this.#high.block.data.set(row.subarray(melBands), this.#high.index(this.#high.count - 1));
      }
      for (const layer of this.#layers) layer.run();
      frames.push(...this.#labelled());
    }
    this.#framesOut += frames.length;
    return frames;
  }

  #labelled(): readonly Float32Array[] {
    const [last, out] = [this.#last, this.#scratch];
    const { count } = last;
    if (count === 0) return [];
    rectify(last, 0);
    out.count = 0;
    out.extend(count, this.#leave.bias);
    multiply(this.#shop, count, last, this.#leave, out, 0);
    last.drop(count);
    return Array.from({ length: 2 * count }, (_, i) =>
      logOfShares(out.block.data.subarray(i * labels, (i + 1) * labels)),
    );
  }
}

/** Frames that come of so many rows of bands. */
export function framesOf(rows: number): number {
  const half = Math.floor((rows + 2 * before - 4) / 2) - 8;
  return 2 * (Math.floor(half / 2) - 4 - 9);
}

function logOfShares(x: Float32Array): Float32Array {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of x) most = Math.max(most, value);
  let sum = 0;
  for (const value of x) sum += Math.exp(value - most);
  const whole = most + Math.log(sum);
  return x.map((value) => value - whole);
}

/** to[first …] += from . weights, row by row. */
function multiply(
  shop: Workshop,
  rows: number,
  from: Rows,
  { taps: [w] }: Taps,
  to: Rows,
  first: number,
): void {
  if (w === undefined) return;
  shop.addProduct(
    rows,
    { at: from.at(0), stride: from.width },
    { at: w.at, k: from.width, n: to.width },
    { at: to.at(first), stride: to.width },
  );
}

/** The first convolution, from one number a band: over three rows and three bands at once. */
class First implements Layer {
  readonly #from: Rows;
  readonly #to: Rows;
  readonly #weights: Float32Array;
  readonly #bias: Float32Array;

  constructor(from: Rows, to: Rows, weights: Float32Array, bias: Float32Array) {
    this.#from = from;
    this.#to = to;
    this.#weights = weights;
    this.#bias = bias;
  }

  run(): void {
    const [from, to] = [this.#from, this.#to];
    const rows = from.count - 2;
    if (rows <= 0) return;
    const first = to.count;
    to.extend(rows, this.#bias);
    const [x, y, w] = [from.block.data, to.block.data, this.#weights];
    for (let row = 0; row < rows; row++) {
      for (let band = 1; band <= from.bands; band++) {
        const out = to.index(first + row) + band * to.channels;
        for (let tap = 0; tap < 9; tap++) {
          const value = x[from.index(row + Math.floor(tap / 3)) + band - 1 + (tap % 3)] ?? 0;
          for (let c = 0; c < to.channels; c++) {
            y[out + c] = (y[out + c] ?? 0) + value * (w[c * 9 + tap] ?? 0);
          }
        }
      }
    }
    bend(to, first);
    from.drop(rows);
  }

  reset(): void {
    this.#from.count = 0;
  }
}

/** Copies rows of two bands, half way up the trunk, for the head to see the finer detail. */
class Tap implements Layer {
  readonly #from: Rows;
  readonly #to: Rows;
  #skipped = 0;

  constructor(from: Rows, to: Rows) {
    this.#from = from;
    this.#to = to;
  }

  keep(): () => void {
    const skipped = this.#skipped;
    return () => {
      this.#skipped = skipped;
    };
  }

  /** Runs right after the pool, when all rows of it are new. */
  run(): void {
    const [from, to] = [this.#from, this.#to];
    for (let row = 0; row < from.count; row++) {
      if (this.#skipped < tapShift) {
        this.#skipped += 1;
        continue;
      }
      to.extend(1);
      const start = from.index(row) + from.channels;
      to.block.data.set(from.block.data.subarray(start, start + to.width), to.index(to.count - 1));
    }
  }

  reset(): void {
    this.#to.count = 0;
    this.#skipped = 0;
  }
}

/** The bands above the trunk's: some rows at once, as far apart as the frames of the head. */
class High implements Layer {
  readonly #shop: Workshop;
  readonly #from: Rows;
  readonly #to: Rows;
  readonly #weights: Taps;
  #skipped = 0;

  constructor(shop: Workshop, from: Rows, to: Rows, weights: Weights) {
    this.#shop = shop;
    this.#from = from;
    this.#to = to;
    // [out][bands][rows] as rows of bands, which is how they lie one after another.
    const [trained, into] = [weights.of('high'), high.rows * highBands];
    const inOrder = trained.map((_, i) => {
      const [out, at] = [Math.floor(i / into), i % into];
      return trained[out * into + (at % highBands) * high.rows + Math.floor(at / highBands)] ?? 0;
    });
    this.#weights = taps(shop, inOrder, { out: high.out, into, taps: 1 }, weights.of('high.bias'));
  }

  run(): void {
    const [from, to] = [this.#from, this.#to];
    const skip = Math.min(high.shift - this.#skipped, from.count);
    from.drop(skip);
    this.#skipped += skip;
    const rows = Math.floor((from.count - high.rows) / high.step) + 1;
    const [w] = this.#weights.taps;
    if (this.#skipped < high.shift || from.count < high.rows || w === undefined) return;
    const first = to.count;
    to.extend(rows, this.#weights.bias);
    this.#shop.addProduct(
      rows,
      { at: from.at(0), stride: high.step * highBands },
      { at: w.at, k: high.rows * highBands, n: high.out },
      { at: to.at(first), stride: high.out },
    );
    rectify(to, first);
    from.drop(rows * high.step);
  }

  reset(): void {
    this.#from.count = 0;
    this.#skipped = 0;
  }
}

/** What is below nothing is nothing, from this row on. */
function rectify(rows: Rows, first: number): void {
  const { data } = rows.block;
  for (let i = rows.index(first); i < rows.index(rows.count); i++) {
    if ((data[i] ?? 0) < 0) data[i] = 0;
  }
}

/** What a fit does to each number that enters the head: times `scale`, and `shift` more. */
export interface Affine {
  readonly scale: ArrayLike<number>;
  readonly shift: ArrayLike<number>;
}

/** Both taps and the bands above into the head's width. */
class Enter implements Layer {
  readonly #shop: Workshop;
  readonly #from: readonly Rows[];
  readonly #to: Rows;
  readonly #all: Rows;
  readonly #weights: Taps;
  /** As trained: out by in, and out. */
  readonly #trained: Float32Array;
  readonly #bias: Float32Array;
  #seen: Float32Array[] = [];

  constructor(shop: Workshop, from: readonly Rows[], to: Rows, weights: Weights) {
    this.#shop = shop;
    this.#from = from;
    this.#to = to;
    const into = from.reduce((sum, rows) => sum + rows.width, 0);
    this.#all = new Rows(shop, 1, into, atOnce + 8);
    const shape = { out: to.width, into, taps: 1 };
    this.#trained = weights.of('enter');
    this.#bias = weights.of('enter.bias');
    this.#weights = taps(shop, this.#trained, shape, this.#bias.slice());
  }

  /** Folds a fit into the weights. */
  use(fit: Affine | undefined): void {
    const [{ data } = { data: new Float32Array() }] = this.#weights.taps;
    const [into, out] = [this.#all.width, this.#to.width];
    for (let o = 0; o < out; o++) {
      let bias = this.#bias[o] ?? 0;
      for (let i = 0; i < into; i++) {
        const weight = this.#trained[o * into + i] ?? 0;
        data[i * out + o] = weight * (fit?.scale[i] ?? 1);
        bias += weight * (fit?.shift[i] ?? 0);
      }
      this.#weights.bias[o] = bias;
    }
  }

  seen(most: number): readonly Float32Array[] {
    return this.#seen.slice(0, most);
  }

  /** What is seen in a look ahead was not. */
  keep(): () => void {
    const { length } = this.#seen;
    return () => {
      this.#seen.length = length;
    };
  }

  run(): void {
    const [all, to] = [this.#all, this.#to];
    const rows = Math.min(...this.#from.map(({ count }) => count));
    if (rows === 0) return;
    all.count = 0;
    all.extend(rows);
    for (let row = 0; row < rows; row++) {
      let at = all.index(row);
      for (const from of this.#from) {
        const start = from.index(row);
        all.block.data.set(from.block.data.subarray(start, start + from.width), at);
        at += from.width;
      }
      this.#seen.push(all.block.data.slice(all.index(row), at));
    }
    const first = to.count;
    to.extend(rows, this.#weights.bias);
    multiply(this.#shop, rows, all, this.#weights, to, first);
    rectify(to, first);
    for (const from of this.#from) from.drop(rows);
  }

  reset(): void {
    for (const from of this.#from) from.count = 0;
    this.#seen = [];
  }
}

/** Wider, along time channel by channel, narrower, and added to what came in. */
class Residual implements Layer {
  readonly #shop: Workshop;
  readonly #from: Rows;
  readonly #to: Rows;
  readonly #wide: Rows;
  readonly #mid: Rows;
  readonly #widen: Taps;
  readonly #narrow: Taps;
  readonly #along: Float32Array;
  readonly #bias: Float32Array;
  /** Rows of the input that are already widened. */
  #widened = 0;

  constructor(shop: Workshop, from: Rows, to: Rows, weights: Weights, name: string) {
    this.#shop = shop;
    this.#from = from;
    this.#to = to;
    this.#wide = new Rows(shop, 1, width, atOnce + 16);
    this.#mid = new Rows(shop, 1, width, atOnce + 16);
    const shape = { out: width, into: width, taps: 1 };
    const of = (part: string): Float32Array => weights.of(`${name}.${part}`);
    this.#widen = taps(shop, of('widen'), shape, of('widen.bias'));
    this.#narrow = taps(shop, of('narrow'), shape, of('narrow.bias'));
    this.#along = of('along');
    this.#bias = of('along.bias');
  }

  keep(): () => void {
    const widened = this.#widened;
    return () => {
      this.#widened = widened;
    };
  }

  run(): void {
    const [from, to, wide, mid] = [this.#from, this.#to, this.#wide, this.#mid];
    const fresh = from.count - this.#widened;
    if (fresh <= 0) return;
    const first = wide.count;
    wide.extend(fresh, this.#widen.bias);
    const [w] = this.#widen.taps;
    if (w === undefined) return;
    this.#shop.addProduct(
      fresh,
      { at: from.at(this.#widened), stride: width },
      { at: w.at, k: width, n: width },
      { at: wide.at(first), stride: width },
    );
    rectify(wide, first);
    const x = wide.block.data;
    this.#widened = from.count;
    const rows = wide.count - (kernel - 1);
    if (rows <= 0) return;
    mid.count = 0;
    mid.extend(rows, this.#bias);
    const y = mid.block.data;
    for (let row = 0; row < rows; row++) {
      const at = row * width;
      for (let c = 0; c < width; c++) {
        let sum = y[at + c] ?? 0;
        for (let k = 0; k < kernel; k++) {
          sum += (x[at + k * width + c] ?? 0) * (this.#along[c * kernel + k] ?? 0);
        }
        y[at + c] = Math.max(sum, 0);
      }
    }
    const out = to.count;
    to.extend(rows, this.#narrow.bias);
    multiply(this.#shop, rows, mid, this.#narrow, to, out);
    const [z, own] = [to.block.data, from.block.data];
    for (let i = 0; i < rows * width; i++) {
      z[out * width + i] = (z[out * width + i] ?? 0) + (own[i] ?? 0);
    }
    wide.drop(rows);
    from.drop(rows);
    this.#widened -= rows;
  }

  reset(): void {
    this.#from.count = 0;
    this.#wide.count = 0;
    this.#wide.extend(left);
    this.#widened = 0;
  }
}

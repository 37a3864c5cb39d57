import type { Block, Changing, Workshop } from './product.ts';

/** Rows in time, as they come: each of `bands` cells of `channels`, with an empty cell at either end. */
export class Rows implements Changing {
  readonly block: Block;
  readonly bands: number;
  readonly channels: number;
  /** Numbers in one row. */
  readonly width: number;
  /** Rows that wait to be used. */
  count = 0;

  constructor(shop: Workshop, bands: number, channels: number, capacity: number) {
    this.bands = bands;
    this.channels = channels;
    this.width = (bands === 1 ? 1 : bands + 2) * channels;
    this.block = shop.take((capacity + 4) * this.width + 8 * channels);
    shop.changes(this);
  }

  keep(): () => void {
    const { count } = this;
    const rows = this.block.data.slice(0, count * this.width);
    return () => {
      this.block.data.set(rows);
      this.count = count;
    };
  }

  /** Room for more rows at the end, each begun with the bias or nothing; they count from now on. */
  extend(rows: number, bias?: Float32Array): void {
    const { data } = this.block;
    const from = this.count * this.width;
    const to = from + rows * this.width;
    if (bias === undefined) data.fill(0, from, to);
    else for (let i = from; i < to; i += bias.length) data.set(bias, i);
    this.count += rows;
  }

  /** Forgets the first rows; the rest move up. */
  drop(rows: number): void {
    this.block.data.copyWithin(0, rows * this.width, this.count * this.width);
    this.count -= rows;
  }

  /** Where a row begins, in bytes; `cells` further on. */
  at(row: number, cells = 0): number {
    return this.block.at + (row * this.width + cells * this.channels) * 4;
  }

  /** Where a row begins among the numbers. */
  index(row: number): number {
    return row * this.width;
  }
}

/** A step of the network that takes what rows it can from its input and appends to its output. */
export interface Layer {
  run(): void;
  /** Gives what puts it back as it is now; left out where all that changes is in `Rows`. */
  keep?(): () => void;
  /** Begins another utterance. */
  reset(): void;
}

export interface Taps {
  /** One matrix a tap, channels in by channels out. */
  readonly taps: readonly Block[];
  readonly bias: Float32Array;
  readonly channels: number;
}

/** Trained weights [out][in][taps] as one matrix a tap. */
export function taps(
  shop: Workshop,
  weights: Float32Array,
  shape: { readonly out: number; readonly into: number; readonly taps: number },
  bias: Float32Array = new Float32Array(shape.out),
): Taps {
  const { out, into, taps: count } = shape;
  const blocks = Array.from({ length: count }, (_, tap) => {
    const block = shop.take(into * out);
    for (let o = 0; o < out; o++) {
      for (let i = 0; i < into; i++) {
        block.data[i * out + o] = weights[(o * into + i) * count + tap] ?? 0;
      }
    }
    return block;
  });
  return { taps: blocks, bias, channels: out };
}

/** Across bands or along time, with the trunk's own curve after it. */
export class Convolution implements Layer {
  readonly #shop: Workshop;
  readonly #from: Rows;
  readonly #to: Rows;
  readonly #taps: Taps;
  readonly #along: 'bands' | 'time';
  /** Rows from one tap to the next. */
  readonly #apart: number;
  readonly #curve: boolean;

  constructor(
    shop: Workshop,
    from: Rows,
    to: Rows,
    weights: Taps,
    along: 'bands' | 'time',
    { apart = 1, curve = true } = {},
  ) {
    this.#shop = shop;
    this.#from = from;
    this.#to = to;
    this.#taps = weights;
    this.#along = along;
    this.#apart = apart;
    this.#curve = curve;
  }

  run(): void {
    const [from, to] = [this.#from, this.#to];
    const time = this.#along === 'time';
    const kept = time ? 2 * this.#apart : 0;
    const rows = from.count - kept;
    if (rows <= 0) return;
    const first = to.count;
    to.extend(rows, this.#taps.bias);
    const cells = to.bands === 1 ? 1 : to.bands + 2;
    const edge = time ? 0 : 1;
    for (const [tap, block] of this.#taps.taps.entries()) {
      this.#shop.addProduct(
        rows * cells - 2 * edge,
        { at: time ? from.at(tap * this.#apart) : from.at(0, tap), stride: from.channels },
        { at: block.at, k: from.channels, n: to.channels },
        { at: to.at(first, edge), stride: to.channels },
      );
    }
    if (this.#curve) bend(to, first);
    from.drop(rows);
  }

  reset(): void {
    this.#from.count = 0;
  }
}

/** What is below nothing falls slower, and never far; the empty cells stay empty. */
export function bend(rows: Rows, first: number): void {
  const { data } = rows.block;
  const { channels, width } = rows;
  for (let row = first; row < rows.count; row++) {
    const start = row * width;
    data.fill(0, start, start + channels);
    data.fill(0, start + width - channels, start + width);
    for (let i = start + channels; i < start + width - channels; i++) {
      const x = data[i] ?? 0;
      if (x < 0) data[i] = x < -2 ? -0.4 : 0.2 * x;
    }
  }
}

/** The largest of two rows (or of each row and the next, step 1) and two bands. */
export class Pool implements Layer {
  readonly #from: Rows;
  readonly #to: Rows;
  /** Rows looked at, and rows on to the next. */
  readonly #over: number;
  readonly #step: number;

  constructor(from: Rows, to: Rows, over: number, step: number) {
    this.#from = from;
    this.#to = to;
    this.#over = over;
    this.#step = step;
  }

  run(): void {
    const [from, to] = [this.#from, this.#to];
    const rows = Math.floor((from.count - this.#over) / this.#step) + 1;
    if (from.count < this.#over || rows <= 0) return;
    const { channels } = from;
    const first = to.count;
    to.extend(rows);
    const [x, y] = [from.block.data, to.block.data];
    const edge = to.bands === 1 ? 0 : 1;
    for (let row = 0; row < rows; row++) {
      for (let band = 0; band < to.bands; band++) {
        const out = to.index(first + row) + (band + edge) * channels;
        for (let c = 0; c < channels; c++) {
          let most = Number.NEGATIVE_INFINITY;
          for (let k = 0; k < this.#over; k++) {
            const at = from.index(row * this.#step + k) + (2 * band + 1) * channels + c;
            most = Math.max(most, x[at] ?? 0, x[at + channels] ?? 0);
          }
          y[out + c] = most;
        }
      }
    }
    from.drop(rows * this.#step);
  }

  reset(): void {
    this.#from.count = 0;
  }
}

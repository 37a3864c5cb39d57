import { blocks, kernel, left } from './network.ts';
import { type Block, Workshop } from './product.ts';
import type { Weights } from './weights.ts';

/** Rows of the longest piece of sound: 7.7 s. */
export const longest = 192;

/** Rows of memory for it, with the empty ones around it and those that a product may spoil. */
const room = longest + (kernel - 1) + 4;

/** A matrix both ways: for going forth, channels in by channels out, and for going back, as trained. */
interface Matrix {
  readonly forth: Block;
  readonly back: Block;
  readonly into: number;
  readonly out: number;
}

interface Step {
  readonly widen: Matrix;
  readonly narrow: Matrix;
  readonly widenBias: Float32Array;
  readonly alongBias: Float32Array;
  readonly narrowBias: Float32Array;
  /** Width by kernel. */
  readonly along: Float32Array;
  /** What the latest sound made of it: widened with the empty rows around it, and after `along`. */
  readonly wide: Block;
  readonly mid: Block;
}

/**
 * The network's head over a whole piece of sound at once, forth and back: what `network.ts` runs as sound
 * comes, for learning. Beyond the ends of the piece there is nothing.
 *
 * One row is 40 ms. What takes long is a generator that stops after each block (some ms), so that whoever
 * runs it can do something else between.
 */
export class Head {
  /** Numbers that enter, and that leave, with each row. */
  readonly inputs: number;
  readonly outputs: number;
  readonly #shop: Workshop;
  readonly #width: number;
  readonly #enter: Matrix;
  readonly #leave: Matrix;
  readonly #enterBias: Float32Array;
  readonly #leaveBias: Float32Array;
  readonly #steps: Step[] = [];
  readonly #input: Block;
  readonly #output: Block;
  /** What the blocks add to, and what came in to the first of them. */
  readonly #stream: Block;
  readonly #entered: Block;
  readonly #spare: Block;
  #rows = 0;

  /** @throws PortError `corrupt`, `unsupported` */
  static *of(weights: Weights): Generator<void, Head> {
    const head = new Head(weights);
    for (let i = 0; i < blocks; i++) {
      yield;
      head.#addBlock(weights, i);
    }
    return head;
  }

  private constructor(weights: Weights) {
    const enterBias = weights.of('enter.bias');
    const leaveBias = weights.of('leave.bias');
    const enter = weights.of('enter');
    const width = enterBias.length;
    this.#width = width;
    this.inputs = enter.length / width;
    this.outputs = leaveBias.length;
    const numbers =
      2 * width * (this.inputs + this.outputs + 2 * blocks * width) +
      room * (this.inputs + this.outputs + (2 * blocks + 3) * width);
    const shop = new Workshop(numbers * 4 + 1e5);
    this.#shop = shop;
    this.#enterBias = enterBias;
    this.#leaveBias = leaveBias;
    this.#enter = matrix(shop, enter, width);
    this.#leave = matrix(shop, weights.of('leave'), this.outputs);
    this.#input = shop.take(room * this.inputs);
    this.#output = shop.take(room * this.outputs);
    this.#stream = shop.take(room * width);
    this.#entered = shop.take(room * width);
    this.#spare = shop.take(room * width);
  }

  #addBlock(weights: Weights, block: number): void {
    const [shop, width] = [this.#shop, this.#width];
    const of = (part: string): Float32Array => weights.of(`block.${block}.${part}`);
    this.#steps.push({
      widen: matrix(shop, of('widen'), width),
      narrow: matrix(shop, of('narrow'), width),
      widenBias: of('widen.bias'),
      alongBias: of('along.bias'),
      narrowBias: of('narrow.bias'),
      along: of('along'),
      wide: shop.take(room * width),
      mid: shop.take(room * width),
    });
  }

  /**
   * @param input rows by `inputs`, no more rows than `longest`
   * @returns logits, rows by `outputs`
   */
  *forward(input: Float32Array): Generator<void, Float32Array> {
    const rows = input.length / this.inputs;
    const width = this.#width;
    this.#rows = rows;
    this.#input.data.set(input);
    const stream = this.#stream.data;
    fill(stream, 0, rows, this.#enterBias);
    this.#multiply(rows, this.#input, this.#enter, 'forth', this.#stream);
    rectify(stream, rows * width);
    this.#entered.data.set(stream.subarray(0, rows * width));
    yield;
    for (const step of this.#steps) {
      const { wide, mid, along, alongBias } = step;
      const [x, y] = [wide.data, mid.data];
      fill(x, left, rows, step.widenBias);
      this.#multiply(rows, this.#stream, step.widen, 'forth', wide, left);
      rectify(x, (left + rows) * width);
      x.fill(0, 0, left * width);
      x.fill(0, (left + rows) * width, (rows + kernel - 1) * width);
      for (let row = 0; row < rows; row++) {
        for (let c = 0; c < width; c++) {
          let sum = alongBias[c] ?? 0;
          for (let k = 0; k < kernel; k++) {
            sum += (x[(row + k) * width + c] ?? 0) * (along[c * kernel + k] ?? 0);
          }
          y[row * width + c] = Math.max(sum, 0);
        }
      }
      for (let i = 0; i < rows * width; i++) {
        stream[i] = (stream[i] ?? 0) + (step.narrowBias[i % width] ?? 0);
      }
      this.#multiply(rows, mid, step.narrow, 'forth', this.#stream);
      yield;
    }
    rectify(stream, rows * width);
    fill(this.#output.data, 0, rows, this.#leaveBias);
    this.#multiply(rows, this.#stream, this.#leave, 'forth', this.#output);
    return this.#output.data.slice(0, rows * this.outputs);
  }

  /**
   * After `forward`, once.
   *
   * @param gradient of a loss to each logit, rows by `outputs`
   * @returns of the loss to each number that entered, rows by `inputs`
   */
  *backward(gradient: Float32Array): Generator<void, Float32Array> {
    const [rows, width] = [this.#rows, this.#width];
    const size = rows * width;
    const [stream, spare] = [this.#stream.data, this.#spare.data];
    this.#output.data.set(gradient);
    spare.fill(0, 0, size);
    this.#multiply(rows, this.#output, this.#leave, 'back', this.#spare);
    for (let i = 0; i < size; i++) stream[i] = (stream[i] ?? 0) > 0 ? (spare[i] ?? 0) : 0;
    yield;
    for (const { wide, mid, along, widen, narrow } of this.#steps.toReversed()) {
      const [x, y] = [wide.data, mid.data];
      spare.fill(0, 0, size);
      this.#multiply(rows, this.#stream, narrow, 'back', this.#spare);
      for (let i = 0; i < size; i++) y[i] = (y[i] ?? 0) > 0 ? (spare[i] ?? 0) : 0;
      for (let row = 0; row < rows; row++) {
        // This row was seen by those from so many before to so many after it.
        const first = Math.max(0, row + left + 1 - rows);
        const last = Math.min(kernel - 1, row + left);
        for (let c = 0; c < width; c++) {
          let sum = 0;
          for (let k = first; k <= last; k++) {
            sum += (y[(row + left - k) * width + c] ?? 0) * (along[c * kernel + k] ?? 0);
          }
          const i = row * width + c;
          spare[i] = (x[left * width + i] ?? 0) > 0 ? sum : 0;
        }
      }
      this.#multiply(rows, this.#spare, widen, 'back', this.#stream);
      yield;
    }
    const entered = this.#entered.data;
    for (let i = 0; i < size; i++) if ((entered[i] ?? 0) <= 0) stream[i] = 0;
    this.#input.data.fill(0, 0, rows * this.inputs);
    this.#multiply(rows, this.#stream, this.#enter, 'back', this.#input);
    return this.#input.data.slice(0, rows * this.inputs);
  }

  /** to[first …] += from . matrix, row by row. */
  #multiply(
    rows: number,
    from: Block,
    { into, out, forth, back }: Matrix,
    way: 'forth' | 'back',
    to: Block,
    first = 0,
  ): void {
    const [k, n, w] = way === 'forth' ? [into, out, forth] : [out, into, back];
    this.#shop.addProduct(
      rows,
      { at: from.at, stride: k },
      { at: w.at, k, n },
      { at: to.at + first * n * 4, stride: n },
    );
  }
}

/** @param trained out by in */
function matrix(shop: Workshop, trained: Float32Array, out: number): Matrix {
  const into = trained.length / out;
  const [forth, back] = [shop.take(into * out), shop.take(into * out)];
  back.data.set(trained);
  for (let o = 0; o < out; o++) {
    for (let i = 0; i < into; i++) forth.data[i * out + o] = trained[o * into + i] ?? 0;
  }
  return { forth, back, into, out };
}

function fill(data: Float32Array, first: number, rows: number, bias: Float32Array): void {
  for (let row = first; row < first + rows; row++) data.set(bias, row * bias.length);
}

function rectify(data: Float32Array, size: number): void {
  for (let i = 0; i < size; i++) if ((data[i] ?? 0) < 0) data[i] = 0;
}

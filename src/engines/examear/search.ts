import type { Path } from '../../ports.ts';
import type { Graph } from './graph.ts';
import { frameMs } from './network.ts';

const never = Number.NEGATIVE_INFINITY;

/** Words said so far, linked backwards. */
interface Said {
  readonly word: string;
  readonly from: number;
  readonly to: number;
  readonly before: Said | undefined;
}

/** The best ways into a state in one frame: the best of all, and the best that ended otherwise. */
interface Arrival {
  best: number;
  bestSaid: Said | undefined;
  /** Last label of it, 0 after a frame of none. */
  bestLast: number;
  other: number;
  otherSaid: Said | undefined;
}

/**
 * The best sentence of a graph for rows of log probabilities. Each node is in one of two ways: on its
 * phone, or after it with none; a phone that follows itself needs a frame of none between.
 */
export class Search {
  readonly #graph: Graph;
  readonly #beam: number;
  /** Scores on the phone, and after it; when the word began; what was said before. */
  #on: Float64Array;
  #past: Float64Array;
  #onFrom: Int32Array;
  #pastFrom: Int32Array;
  readonly #onSaid: (Said | undefined)[];
  readonly #pastSaid: (Said | undefined)[];
  /** In which turn each node was last reached. Turns go on counting whatever is put back. */
  readonly #stamp: Int32Array;
  readonly #newOn: Float64Array;
  readonly #newOnFrom: Int32Array;
  readonly #newOnSaid: (Said | undefined)[];
  #active: number[] = [];
  /** Between words, in a state. */
  #rest = new Map<number, { score: number; said: Said | undefined }>();
  #frame = 0;
  #turn = 0;
  #top = 0;

  /** @param beam how far behind the best a way may fall and still be followed, in nats */
  constructor(graph: Graph, beam: number) {
    this.#graph = graph;
    this.#beam = beam;
    const nodes = graph.label.length;
    this.#on = new Float64Array(nodes).fill(never);
    this.#past = new Float64Array(nodes).fill(never);
    this.#onFrom = new Int32Array(nodes);
    this.#pastFrom = new Int32Array(nodes);
    this.#onSaid = new Array<Said | undefined>(nodes).fill(undefined);
    this.#pastSaid = new Array<Said | undefined>(nodes).fill(undefined);
    this.#stamp = new Int32Array(nodes);
    this.#newOn = new Float64Array(nodes).fill(never);
    this.#newOnFrom = new Int32Array(nodes);
    this.#newOnSaid = new Array<Said | undefined>(nodes).fill(undefined);
    this.reset();
  }

  reset(): void {
    this.#leave();
    this.#frame = 0;
    this.#top = 0;
    this.#rest = new Map();
    for (const { to, weight } of this.#graph.reach[this.#graph.start] ?? []) {
      this.#rest.set(to, { score: weight, said: undefined });
    }
  }

  push(row: Float32Array): void {
    const { label, next, roots, reach } = this.#graph;
    const none = row[0] ?? 0;
    const frame = this.#frame;
    this.#turn += 1;
    const turn = this.#turn;
    const arrivals = this.#arrivals();
    const touched: number[] = [];
    const newOn = this.#newOn;
    const offer = (node: number, score: number, from: number, said: Said | undefined): void => {
      if (this.#stamp[node] !== turn) {
        this.#stamp[node] = turn;
        newOn[node] = never;
        touched.push(node);
      }
      if (score > (newOn[node] ?? never)) {
        newOn[node] = score;
        this.#newOnFrom[node] = from;
        this.#newOnSaid[node] = said;
      }
    };
    const limit = this.#top - this.#beam;
    for (const node of this.#active) {
      const on = this.#on[node] ?? never;
      const past = this.#past[node] ?? never;
      const own = label[node] ?? 0;
      offer(node, on, this.#onFrom[node] ?? 0, this.#onSaid[node]);
      for (const after of next[node] ?? []) {
        const fresh = label[after] !== own && on > past;
        const score = fresh ? on : past;
        if (score < limit) continue;
        if (fresh) offer(after, score, this.#onFrom[node] ?? 0, this.#onSaid[node]);
        else offer(after, score, this.#pastFrom[node] ?? 0, this.#pastSaid[node]);
      }
    }
    // Into words: from rest, or straight from the word before.
    const rest = new Map<number, { score: number; said: Said | undefined }>();
    for (const [state, { score, said }] of this.#rest) {
      if (score < limit) continue;
      for (const root of roots[state] ?? []) offer(root, score, frame, said);
      rest.set(state, { score: score + none, said });
    }
    for (const [to, arrival] of arrivals) {
      for (const { to: state, weight } of reach[to] ?? []) {
        for (const root of roots[state] ?? []) {
          const clash = arrival.bestLast !== 0 && arrival.bestLast === label[root];
          const score = (clash ? arrival.other : arrival.best) + weight;
          if (score >= limit) {
            offer(root, score, frame, clash ? arrival.otherSaid : arrival.bestSaid);
          }
        }
        const waiting = rest.get(state);
        const score = arrival.best + weight + none;
        if (waiting === undefined || score > waiting.score) {
          rest.set(state, { score, said: arrival.bestSaid });
        }
      }
    }
    // One frame on.
    let top = never;
    for (const { score } of rest.values()) if (score > top) top = score;
    for (const node of touched) {
      const on = this.#on[node] ?? never;
      const past = this.#past[node] ?? never;
      if (on > past) {
        this.#past[node] = on + none;
        this.#pastFrom[node] = this.#onFrom[node] ?? 0;
        this.#pastSaid[node] = this.#onSaid[node];
      } else this.#past[node] = past + none;
      const now = (newOn[node] ?? never) + (row[label[node] ?? 0] ?? never);
      this.#on[node] = now;
      this.#onFrom[node] = this.#newOnFrom[node] ?? 0;
      this.#onSaid[node] = this.#newOnSaid[node];
      top = Math.max(top, now, this.#past[node] ?? never);
    }
    const keep = top - this.#beam;
    this.#active = touched.filter((node) => {
      if ((this.#on[node] ?? never) >= keep || (this.#past[node] ?? never) >= keep) return true;
      this.#on[node] = never;
      this.#past[node] = never;
      return false;
    });
    for (const [state, { score }] of rest) if (score < keep) rest.delete(state);
    this.#rest = rest;
    this.#top = top;
    this.#frame = frame + 1;
  }

  /** Gives what puts the search back as it is now. */
  keep(): () => void {
    const [active, rest, frame, top] = [this.#active, this.#rest, this.#frame, this.#top];
    const ways = active.map((node) => ({
      on: this.#on[node] ?? never,
      onFrom: this.#onFrom[node] ?? 0,
      onSaid: this.#onSaid[node],
      past: this.#past[node] ?? never,
      pastFrom: this.#pastFrom[node] ?? 0,
      pastSaid: this.#pastSaid[node],
    }));
    return () => {
      this.#leave();
      for (const [i, way] of ways.entries()) {
        const node = active[i] ?? 0;
        this.#on[node] = way.on;
        this.#onFrom[node] = way.onFrom;
        this.#onSaid[node] = way.onSaid;
        this.#past[node] = way.past;
        this.#pastFrom[node] = way.pastFrom;
        this.#pastSaid[node] = way.pastSaid;
      }
      this.#active = active;
      this.#rest = rest;
      this.#frame = frame;
      this.#top = top;
    };
  }

  /** Follows no way any more. */
  #leave(): void {
    for (const node of this.#active) {
      this.#on[node] = never;
      this.#past[node] = never;
    }
    this.#active = [];
  }

  /**
   * The words so far on which all ways agree that are hardly worse than the best, a word among them as
   * soon as it can be no other.
   *
   * @param near how far behind the best is hardly worse, in nats
   */
  wordsSoFar(near: number): readonly string[] {
    const limit = this.#top - near;
    let words: readonly string[] | undefined;
    const agree = (said: Said | undefined, now?: string): void => {
      const all = wordsOf(said).map(({ word }) => word);
      if (now !== undefined) all.push(now);
      if (words === undefined) words = all;
      else words = words.slice(0, words.findIndex((word, i) => word !== all[i]) >>> 0);
    };
    for (const { score, said } of this.#rest.values()) if (score >= limit) agree(said);
    for (const node of this.#active) {
      const on = this.#on[node] ?? never;
      const past = this.#past[node] ?? never;
      if (Math.max(on, past) < limit) continue;
      agree(on > past ? this.#onSaid[node] : this.#pastSaid[node], this.#only(node));
    }
    return words ?? [];
  }

  /** Score of the best way so far. */
  get score(): number {
    return this.#top;
  }

  /** The word that a node is in, if it can be no other. */
  #only(node: number): string | undefined {
    const { next, ends } = this.#graph;
    let only: string | undefined;
    const open = [node];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const { word } of ends[at] ?? []) {
        only ??= word;
        if (word !== only) return undefined;
      }
      open.push(...(next[at] ?? []));
    }
    return only;
  }

  /** The best whole sentence, once all rows are in. */
  best(): Path | undefined {
    const { finals } = this.#graph;
    let score = never;
    let said: Said | undefined;
    for (const [state, way] of this.#rest) {
      if (finals[state] === 1 && way.score > score) [score, said] = [way.score, way.said];
    }
    for (const [to, arrival] of this.#arrivals()) {
      if (finals[to] === 1 && arrival.best > score) {
        [score, said] = [arrival.best, arrival.bestSaid];
      }
    }
    if (score === never) return undefined;
    const words = wordsOf(said).map(({ word, from, to }) => ({
      word,
      startMs: from * frameMs,
      endMs: to * frameMs,
    }));
    return { words, score };
  }

  /** Words that end here, by the state they lead to. */
  #arrivals(): ReadonlyMap<number, Arrival> {
    const { label, ends } = this.#graph;
    const arrivals = new Map<number, Arrival>();
    const limit = this.#top - this.#beam;
    for (const node of this.#active) {
      const done = ends[node];
      if (done === undefined) continue;
      const on = this.#on[node] ?? never;
      const past = this.#past[node] ?? never;
      for (const { word, to, weight } of done) {
        if (on >= limit) {
          const from = this.#onFrom[node] ?? 0;
          this.#arrive(arrivals, to, on + weight, label[node] ?? 0, word, from, this.#onSaid[node]);
        }
        if (past >= limit) {
          const from = this.#pastFrom[node] ?? 0;
          this.#arrive(arrivals, to, past + weight, 0, word, from, this.#pastSaid[node]);
        }
      }
    }
    return arrivals;
  }

  #arrive(
    arrivals: Map<number, Arrival>,
    to: number,
    score: number,
    last: number,
    word: string,
    from: number,
    before: Said | undefined,
  ): void {
    const known = arrivals.get(to);
    if (known === undefined) {
      const bestSaid = { word, from, to: this.#frame, before };
      arrivals.set(to, {
        best: score,
        bestSaid,
        bestLast: last,
        other: never,
        otherSaid: undefined,
      });
      return;
    }
    if (score > known.best) {
      if (last !== known.bestLast) {
        known.other = known.best;
        known.otherSaid = known.bestSaid;
      }
      known.best = score;
      known.bestLast = last;
      known.bestSaid = { word, from, to: this.#frame, before };
    } else if (score > known.other && last !== known.bestLast) {
      known.other = score;
      known.otherSaid = { word, from, to: this.#frame, before };
    }
  }
}

function wordsOf(last: Said | undefined): Said[] {
  const words: Said[] = [];
  for (let at = last; at !== undefined; at = at.before) words.unshift(at);
  return words;
}

/**
 * The best score of the rows as any phones whatever, each at a price: what a sentence of the grammar
 * is measured against.
 */
export class AnySpeech {
  readonly #price: number;
  #on = new Float64Array(0);
  #past = 0;

  constructor(price: number) {
    this.#price = price;
  }

  reset(): void {
    this.#on = new Float64Array(0);
    this.#past = 0;
  }

  push(row: Float32Array): void {
    if (this.#on.length === 0) this.#on = new Float64Array(row.length).fill(never);
    const on = this.#on;
    let first = 0;
    let second = 0;
    for (let p = 1; p < row.length; p++) {
      const score = on[p] ?? never;
      if (first === 0 || score > (on[first] ?? never)) [first, second] = [p, first];
      else if (second === 0 || score > (on[second] ?? never)) second = p;
    }
    const [best, next] = [on[first] ?? never, second === 0 ? never : (on[second] ?? never)];
    const past = this.#past;
    this.#past = Math.max(past, best) + (row[0] ?? 0);
    for (let p = 1; p < row.length; p++) {
      const from = Math.max(past, p === first ? next : best) - this.#price;
      on[p] = Math.max(on[p] ?? never, from) + (row[p] ?? never);
    }
  }

  /** Gives what puts it back as it is now. */
  keep(): () => void {
    const [on, past] = [this.#on.slice(), this.#past];
    return () => {
      this.#on = on;
      this.#past = past;
    };
  }

  get score(): number {
    return this.#on.reduce((best, score) => Math.max(best, score), this.#past);
  }
}

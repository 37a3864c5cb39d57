import type { Fit, Fitting, Learning, Sound } from '../../ports.ts';
import { longest } from './head.ts';
import { learn } from './learner.ts';
import type { Affine } from './network.ts';
import type { Reply } from './reply.ts';
import { tuning } from './tuning.ts';
import type { Weights } from './weights.ts';

export interface FittingParts {
  readonly weights: Weights;
  /** Which weights these are. */
  readonly of: string;
  /** An utterance is in progress. */
  readonly busy: () => boolean;
  /** The last finished utterance as a reply. */
  readonly heard: (words: readonly string[], most: number) => Reply | undefined;
  /** Any sound as a reply; not while an utterance is in progress. */
  readonly reply: (sound: Sound, words: readonly string[], most: number) => Reply | undefined;
  readonly use: (fit: Affine | undefined) => void;
}

/** Replies of one examiner, kept until they are learnt from. */
export class ReplyFitting implements Fitting {
  readonly #parts: FittingParts;
  /** Put aside, by number. */
  readonly #held = new Map<number, Reply>();
  #next = 0;
  #right: Reply[] = [];
  #common: Reply[] = [];
  #fit: Fit | undefined;
  #learning: ReturnType<typeof learn> | undefined;

  constructor(parts: FittingParts) {
    this.#parts = parts;
  }

  async hold(words: readonly string[]): Promise<number | undefined> {
    const reply = this.#parts.heard(words, longest);
    if (reply === undefined) return undefined;
    const number = this.#next++;
    this.#held.set(number, reply);
    // Of what nobody settles the oldest goes.
    for (const [old] of this.#held) {
      if (this.#held.size <= tuning.fit.most) break;
      this.#held.delete(old);
    }
    return number;
  }

  async settle(held: number, right: boolean): Promise<number> {
    const reply = this.#held.get(held);
    this.#held.delete(held);
    if (right && reply !== undefined) this.#right = [...this.#right, reply].slice(-tuning.fit.most);
    return this.#right.length;
  }

  async test(sound: Sound, words: readonly string[]): Promise<boolean> {
    if (this.#parts.busy()) return false;
    const reply = this.#parts.reply(sound, words, longest);
    if (reply !== undefined) this.#common.push(reply);
    return true;
  }

  async learn(): Promise<Learning> {
    if (this.#right.length < tuning.fit.least) return { is: 'nothing' };
    if (this.#parts.busy()) return { is: 'learning' };
    this.#learning ??= learn(this.#parts.weights, {
      replies: this.#right,
      common: this.#common,
      now: this.#fit,
    });
    const until = performance.now() + tuning.fit.momentMs;
    do {
      const { done, value } = this.#learning.next();
      if (!done) continue;
      this.#learning = undefined;
      this.#common = [];
      if (value === undefined) return { is: 'nothing' };
      const { replies, scale, shift } = value;
      const fit = {
        of: this.#parts.of,
        replies,
        scale: Array.from(scale),
        shift: Array.from(shift),
      };
      return { is: 'learnt', fit };
    } while (performance.now() < until);
    return { is: 'learning' };
  }

  async use(fit: Fit | undefined): Promise<boolean> {
    const own = fit === undefined || fit.of === this.#parts.of ? fit : undefined;
    this.#fit = own;
    this.#parts.use(own);
    return own !== undefined;
  }

  async forget(): Promise<void> {
    this.#held.clear();
    this.#right = [];
    this.#common = [];
    this.#learning = undefined;
    await this.use(undefined);
  }
}

/** Time that may be spent: a share of what passes, kept up to a most when it is not used. */
export class Allowance {
  readonly #clock: () => number;
  readonly #share: number;
  readonly #most: number;
  #left: number;
  #at: number;

  /**
   * @param clock in ms
   * @param options.most in ms; so much may be spent at first, too
   */
  constructor(
    clock: () => number,
    { share, most }: { readonly share: number; readonly most: number },
  ) {
    this.#clock = clock;
    this.#share = share;
    this.#most = most;
    this.#left = most;
    this.#at = clock();
  }

  /** Does the work if any time is left, and counts what it takes; else gives nothing. */
  spend<T>(work: () => T): T | undefined {
    const from = this.#clock();
    this.#left = Math.min(this.#most, this.#left + this.#share * (from - this.#at));
    this.#at = from;
    if (this.#left <= 0) return undefined;
    const done = work();
    this.#left -= this.#clock() - from;
    return done;
  }
}

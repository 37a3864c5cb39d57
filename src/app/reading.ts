import type { Tokens } from '../interpret/index.ts';

/** Typed text, taken apart by a library that is fetched only once it is wanted. */
export interface Reading {
  /** Until the library is there, words are what spaces part: enough for words as the grammar has them. */
  readonly tokens: Tokens;
  /** Resolves when text can be read, as well as it ever will be. */
  ready(): Promise<void>;
}

export function createReading(load: () => Promise<Tokens>): Reading {
  let known: Tokens | undefined;
  let loading: Promise<void> | undefined;
  return {
    tokens: (text) => known?.(text) ?? text.toLowerCase().split(/\s+/),
    ready() {
      loading ??= load().then(
        (loaded) => {
          known = loaded;
        },
        () => {
          // Asked again with the next text: a server may have been away.
          loading = undefined;
        },
      );
      return loading;
    },
  };
}

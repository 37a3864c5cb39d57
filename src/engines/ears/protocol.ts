import type { WordNetwork } from '../../grammar/network.ts';
import type { Fit, Learning, Path, PortErrorCode, Recognition, Sound } from '../../ports.ts';

/** What can be asked of the recogniser in its worker: what goes in, what comes back. */
export interface Requests {
  /** The first request: where models and weights lie, and `Pronunciations` as pairs. */
  open: {
    readonly ask: {
      /** Folder of the mixture models, with a slash at its end. */
      readonly model: string;
      /** Address of `examear.bin`. */
      readonly weights: string;
      readonly files: ReadonlyMap<string, Blob>;
      readonly pronunciations: readonly (readonly [string, readonly string[]])[];
    };
    readonly answer: undefined;
  };
  listenFor: { readonly ask: WordNetwork; readonly answer: undefined };
  start: { readonly ask: undefined; readonly answer: undefined };
  feed: { readonly ask: Sound; readonly answer: readonly string[] };
  finish: { readonly ask: undefined; readonly answer: Recognition };
  reconsider: {
    readonly ask: readonly WordNetwork[];
    readonly answer: readonly (Path | undefined)[];
  };
  abort: { readonly ask: undefined; readonly answer: undefined };
  forget: { readonly ask: undefined; readonly answer: undefined };
  hold: { readonly ask: readonly string[]; readonly answer: number | undefined };
  settle: {
    readonly ask: { readonly held: number; readonly right: boolean };
    readonly answer: number;
  };
  test: {
    readonly ask: { readonly sound: Sound; readonly words: readonly string[] };
    readonly answer: boolean;
  };
  learn: { readonly ask: undefined; readonly answer: Learning };
  forgetReplies: { readonly ask: undefined; readonly answer: undefined };
  use: { readonly ask: Fit | undefined; readonly answer: boolean };
}
export type RequestName = keyof Requests;

export type Ask = {
  [Name in RequestName]: {
    readonly id: number;
    readonly is: Name;
    readonly what: Requests[Name]['ask'];
  };
}[RequestName];

/** One answer for each ask, in the order asked. */
export type Answer =
  | { readonly id: number; readonly ok: true; readonly what: Requests[RequestName]['answer'] }
  | {
      readonly id: number;
      readonly ok: false;
      readonly code: PortErrorCode;
      readonly message: string;
    };

/**
 * The messages of `vosk-browser`'s worker (its `interfaces.d.ts`), as far as they are used. All but
 * `set` are answered, in order.
 */
export type VoskAsk =
  | { readonly action: 'load'; readonly modelUrl: string }
  | { readonly action: 'set'; readonly key: 'logLevel'; readonly value: number }
  | {
      readonly action: 'set';
      readonly key: 'words';
      readonly recognizerId: string;
      readonly value: boolean;
    }
  | {
      readonly action: 'create';
      readonly recognizerId: string;
      readonly sampleRate: number;
      /** A list of phrases, as JSON. */
      readonly grammar?: string;
    }
  | {
      readonly action: 'audioChunk';
      readonly recognizerId: string;
      readonly data: Float32Array;
      readonly sampleRate: number;
    }
  | { readonly action: 'retrieveFinalResult' | 'remove'; readonly recognizerId: string };

/** `create` is answered with nothing. */
export type VoskAnswer =
  | undefined
  | { readonly event: 'load'; readonly result: boolean }
  | { readonly event: 'error'; readonly error?: string }
  | { readonly event: 'partialresult'; readonly result: { readonly partial: string } }
  | {
      readonly event: 'result';
      readonly result: {
        /** Absent when nothing was heard. */
        readonly result?: readonly {
          readonly word: string;
          readonly conf: number;
          readonly start: number;
          readonly end: number;
        }[];
      };
    };

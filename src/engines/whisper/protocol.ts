import type { PortErrorCode } from '../../ports.ts';

/** What is asked of the worker; each ask has one answer, in order. */
export type WhisperAsk =
  | {
      readonly is: 'open';
      /** The model's files by their path in its folder. */
      readonly files: ReadonlyMap<string, Blob>;
    }
  /** A whole utterance at 16 kHz. */
  | { readonly is: 'hear'; readonly sound: Float32Array };

export type WhisperAnswer =
  | { readonly ok: true; readonly text: string; readonly probability: number }
  | { readonly ok: false; readonly code: PortErrorCode; readonly message: string };

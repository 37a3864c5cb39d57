import type { Transcriber } from '../free/transcriber.ts';

export interface Typed extends Transcriber {
  /** What was typed for the utterance in progress. */
  type(text: string): void;
}

/**
 * A keyboard in place of an engine: what is typed during an utterance is what was said, each word
 * for certain. Sound is passed over.
 *
 * @param words typed text in the grammar's words
 */
export function createTyped(words: (text: string) => readonly string[]): Typed {
  let typed: readonly string[] = [];
  return {
    id: 'typed',
    type(text) {
      typed = [...typed, ...words(text)];
    },
    expect: async () => {},
    async start() {
      typed = [];
    },
    feed: async () => typed,
    async finish() {
      return [typed.map((word) => ({ word, probability: 1, startMs: 0, endMs: 0 }))];
    },
    async abort() {
      typed = [];
    },
    close: async () => {},
  };
}

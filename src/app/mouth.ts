import type { Voice } from '../ports.ts';

export interface MouthParts {
  /** The voice to speak with now, or nothing in a silent room. */
  readonly voice: () => Promise<Voice | undefined>;
  /** Whether the ear must be closed while speaking: not with headphones. */
  readonly halfDuplex: () => boolean;
  readonly mute: (muted: boolean) => void;
  /** Told of each text as it begins to be spoken, and of an empty one when all is said. */
  readonly speaking: (text: string) => void;
}

export interface Mouth {
  /** Says a text. Texts of one turn are said in order; a new turn breaks off the one before it. */
  say(text: string): void;
  hush(): void;
  /** Resolves when nothing is being said. */
  quiet(): Promise<void>;
}

/** How long the room still sounds after the voice has stopped, in ms. */
const tailMs = 350;

/**
 * Speaks, and keeps the ear closed while it does, so that the program never hears itself. A voice
 * that fails loses nothing: what it had to say stands on the screen.
 */
export function createMouth({ voice, halfDuplex, mute, speaking }: MouthParts): Mouth {
  let turn: string[] = [];
  let now: AbortController | undefined;
  let done: Promise<void> = Promise.resolve();
  let tail: ReturnType<typeof setTimeout> | undefined;

  const speak = async (texts: readonly string[], signal: AbortSignal): Promise<void> => {
    const chosen = await voice().catch(() => undefined);
    if (chosen === undefined || chosen.id === 'silent' || signal.aborted) return;
    clearTimeout(tail);
    if (halfDuplex()) mute(true);
    for (const text of texts) {
      if (signal.aborted) return;
      speaking(text);
      await chosen.speak(text, signal).catch(() => undefined);
    }
  };
  const finish = (own: AbortController): void => {
    if (now !== own) return;
    now = undefined;
    speaking('');
    tail = setTimeout(() => mute(false), tailMs);
  };

  return {
    say(text) {
      if (turn.push(text) > 1) return;
      queueMicrotask(() => {
        const texts = turn;
        turn = [];
        now?.abort();
        const own = new AbortController();
        now = own;
        done = speak(texts, own.signal).finally(() => finish(own));
      });
    },
    hush() {
      const own = now;
      if (own === undefined) return;
      own.abort();
      finish(own);
    },
    quiet: async () => {
      // What is said in this very turn begins one microtask later.
      await Promise.resolve();
      await done;
    },
  };
}

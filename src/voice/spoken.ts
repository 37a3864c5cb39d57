import { PortError, type Voice } from '../ports.ts';
import type { Flite, Manner, Speech } from './flite/flite.ts';
import type { Output } from './output.ts';
import { trimmed } from './trim.ts';

/** Seconds of speech that are kept: some two hundred sentences, about 20 MB. */
const keptSeconds = 320;

/** A voice that can get ready for what it will have to say. */
export interface RenderedVoice extends Voice {
  /** Renders in the background; a failure shows when it is spoken. */
  prepare(texts: readonly string[]): Promise<void>;
}

/**
 * The embedded synthesiser as a voice. A text is rendered sentence by sentence and the first is
 * heard while the next is rendered. Sentences are kept, since an exam says the same ones often.
 */
export function renderedVoice(flite: Flite, manner: Manner, output: Output): RenderedVoice {
  // A Map keeps the order of insertion: the first is the one longest unused.
  const kept = new Map<string, Promise<Speech>>();
  let seconds = 0;

  const speech = (sentence: string): Promise<Speech> => {
    const known = kept.get(sentence);
    if (known !== undefined) {
      kept.delete(sentence);
      kept.set(sentence, known);
      return known;
    }
    const rendering = flite.render(sentence, manner).then(trimmed);
    kept.set(sentence, rendering);
    rendering.then(
      ({ samples, sampleRate }) => {
        seconds += samples.length / sampleRate;
        void forget();
      },
      () => kept.delete(sentence),
    );
    return rendering;
  };
  const forget = async (): Promise<void> => {
    for (const [sentence, rendering] of kept) {
      if (seconds <= keptSeconds) return;
      kept.delete(sentence);
      const { samples, sampleRate } = await rendering;
      seconds -= samples.length / sampleRate;
    }
  };

  return {
    id: `flite:${manner.voice}`,
    async speak(text, signal) {
      const renderings = sentences(text).map(speech);
      // All are awaited below, one after the other; one that fails early must not go unheard of.
      for (const rendering of renderings) rendering.catch(() => undefined);
      for (const rendering of renderings) {
        const ready = await unlessStopped(rendering, signal);
        if (ready === undefined) return;
        await output.play(ready, signal);
      }
    },
    async prepare(texts) {
      await Promise.allSettled(texts.flatMap(sentences).map(speech));
    },
  };
}

/** Sentences with their marks: "Right, three plus. Left, two plus." gives two. */
export const sentences = (text: string): readonly string[] =>
  text
    .split(/(?<=[.?!;])\s+/)
    .map((sentence) => sentence.trim())
    .filter((sentence) => sentence !== '');

/** The speech, or nothing as soon as the signal says stop. */
function unlessStopped(
  rendering: Promise<Speech>,
  signal: AbortSignal | undefined,
): Promise<Speech | undefined> {
  if (signal === undefined) return rendering;
  if (signal.aborted) return Promise.resolve(undefined);
  return new Promise((resolve, reject) => {
    const stop = () => resolve(undefined);
    signal.addEventListener('abort', stop, { once: true });
    rendering
      .then(resolve, (why: unknown) =>
        why instanceof PortError && why.code === 'aborted' ? resolve(undefined) : reject(why),
      )
      .finally(() => signal.removeEventListener('abort', stop));
  });
}

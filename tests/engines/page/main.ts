import { recogniserOf } from '../../../src/engines/free/recogniser.ts';
import { createVosk } from '../../../src/engines/vosk/transcriber.ts';
import { createWhisper } from '../../../src/engines/whisper/transcriber.ts';
import { PortError, type Recogniser } from '../../../src/ports.ts';

/** A file as it goes from the test into the page: its path, and its bytes in base64. */
type Packed = readonly (readonly [path: string, base64: string])[];

export interface EnginePage {
  /** Loads a model; gives `loaded`, or what is wrong with it. */
  load(engine: 'vosk' | 'whisper', files: Packed): Promise<string>;
  /** Hears one of the sentences in a second of noise; gives the words and the scores. */
  hear(sentences: readonly string[]): Promise<unknown>;
  close(): Promise<void>;
}

let recogniser: Recogniser | undefined;

const words = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');

const unpacked = (files: Packed): ReadonlyMap<string, Blob> =>
  new Map(
    files.map(([path, base64]) => [
      path,
      new Blob([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))]),
    ]),
  );

const page: EnginePage = {
  async load(engine, packed) {
    const files = unpacked(packed);
    try {
      recogniser = recogniserOf(
        engine === 'vosk'
          ? await createVosk({
              model: files.get('model.tar.gz') ?? new Blob(),
              start: () => new Worker(new URL('./vosk-worker.js', document.baseURI)),
              words,
              loadMs: 60_000,
            })
          : await createWhisper({ files, words, loadMs: 60_000 }),
      );
      return 'loaded';
    } catch (why) {
      return why instanceof PortError ? `${why.code}: ${why.message}` : `not a PortError: ${why}`;
    }
  },
  async hear(sentences) {
    if (recogniser === undefined) throw new Error('nothing is loaded');
    const arcs = sentences.flatMap((sentence, s) =>
      sentence.split(' ').map((word, i) => ({
        from: i === 0 ? 0 : 1 + s * 100 + i,
        to: 1 + s * 100 + i + 1,
        word,
      })),
    );
    const finals = sentences.map((sentence, s) => 1 + s * 100 + sentence.split(' ').length);
    await recogniser.listenFor({
      states: 1 + sentences.length * 100 + 100,
      start: 0,
      finals,
      arcs,
    });
    await recogniser.start();
    const sound = Float32Array.from({ length: 16_000 }, (_, i) => Math.sin(i * i) / 100);
    const soFar = await recogniser.feed(sound);
    const heard = await recogniser.finish();
    return { soFar, ...heard };
  },
  async close() {
    await recogniser?.close();
    recogniser = undefined;
  },
};

Object.assign(globalThis, { engines: page });

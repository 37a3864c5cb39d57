import { english } from '../../../src/app/language.ts';
import { earsInWorker } from '../../../src/engines/ears/client.ts';
import { recogniserOf } from '../../../src/engines/free/recogniser.ts';
import { createVosk } from '../../../src/engines/vosk/transcriber.ts';
import { createWhisper } from '../../../src/engines/whisper/transcriber.ts';
import { PortError, type Recogniser } from '../../../src/ports.ts';

export type EngineName = 'soundswallower' | 'vosk' | 'whisper';

/** A file as it goes from the test into the page: its path, and its bytes in base64. */
export type Packed = readonly (readonly [path: string, base64: string])[];

/** What became of a request to a recogniser in the page. */
export type Reply =
  | { readonly ok: true; readonly what: unknown }
  | { readonly ok: false; readonly code: string; readonly message: string };

export interface EnginePage {
  /** Loads a model; gives the number of its recogniser, or what is wrong. */
  load(
    engine: EngineName,
    files: Packed,
    pronunciations?: readonly (readonly [string, readonly string[]])[],
  ): Promise<Reply>;
  /** Calls a method of a recogniser; sound goes as base64 of its 32-bit samples. */
  call(id: number, method: string, argument: unknown): Promise<Reply>;
}

const recognisers: Recogniser[] = [];

const { words } = english();

const bytes = (base64: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));

async function reply(work: () => Promise<unknown>): Promise<Reply> {
  try {
    return { ok: true, what: await work() };
  } catch (why) {
    return why instanceof PortError
      ? { ok: false, code: why.code, message: why.message }
      : { ok: false, code: 'none', message: `not a PortError: ${String(why)}` };
  }
}

const loadMs = 60_000;

const page: EnginePage = {
  load: (engine, packed, pronunciations = []) =>
    reply(async () => {
      const files = new Map(packed.map(([path, base64]) => [path, new Blob([bytes(base64)])]));
      recognisers.push(await made());
      return recognisers.length - 1;

      async function made(): Promise<Recogniser> {
        switch (engine) {
          case 'soundswallower':
            return earsInWorker({
              model: new URL('./model/en-us/', document.baseURI),
              weights: new URL('./model/examear.bin', document.baseURI),
              files,
              pronunciations: new Map(pronunciations),
              loadMs,
            });
          case 'vosk': {
            const model = files.get('model.tar.gz') ?? new Blob();
            const start = () => new Worker(new URL('./vosk-worker.js', document.baseURI));
            return recogniserOf(await createVosk({ model, start, words, loadMs }));
          }
          case 'whisper':
            return recogniserOf(await createWhisper({ files, words, loadMs }));
        }
      }
    }),
  call: (id, method, argument) =>
    reply(async () => {
      const recogniser = recognisers[id];
      if (recogniser === undefined) throw new Error('nothing is loaded');
      const sent = method === 'feed' ? new Float32Array(bytes(String(argument)).buffer) : argument;
      return Reflect.get(recogniser, method).call(recogniser, sent);
    }),
};

Object.assign(globalThis, { engines: page });

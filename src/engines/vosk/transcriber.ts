import { PortError } from '../../ports.ts';
import { Line, type LineWorker } from '../free/line.ts';
import type { Transcriber, WrittenWord } from '../free/transcriber.ts';
import { engineMessages } from '../messages.ts';
import type { VoskAnswer, VoskAsk } from './protocol.ts';

export interface VoskOptions {
  /** The model as the engine takes it: a folder packed with tar and gzip. */
  readonly model: Blob;
  /** Makes the engine's own worker (`vosk-browser`). */
  readonly start: () => LineWorker;
  /** Free text in the grammar's words. */
  readonly words: (text: string) => readonly string[];
  /** Time limits in ms. */
  readonly loadMs?: number;
  readonly answerMs?: number;
  /** Utterances after which the worker is ended and its memory freed; the engine's own grows. */
  readonly recycleAfter?: number;
}

const name = 'Vosk';
/** The engine takes samples in the range of 16 bits. */
const scale = 32_768;
const sampleRate = 16_000;

/**
 * The engine Vosk in its own worker, with the words of the grammar as the only ones it may write.
 *
 * @throws PortError `corrupt`, `unsupported`, `timed-out` when the model does not load
 */
export async function createVosk(options: VoskOptions): Promise<Transcriber> {
  const { loadMs = 120_000, answerMs = 15_000, recycleAfter = 100 } = options;
  let line = await open();
  let grammar: string | undefined;
  let utterances = 0;
  let hearing: string | undefined;
  let heard: WrittenWord[] = [];
  let closed = false;

  async function open(): Promise<Line> {
    const fresh = new Line(name, options.start);
    const modelUrl = URL.createObjectURL(options.model);
    try {
      fresh.tell({ action: 'set', key: 'logLevel', value: -1 } satisfies VoskAsk);
      const answer = await ask(fresh, { action: 'load', modelUrl }, loadMs);
      if (answer?.event !== 'load' || !answer.result) throw damaged(engineMessages.didNotLoad);
      return fresh;
    } catch (why) {
      fresh.end(new PortError('closed', engineMessages.engine.notLoaded(name)));
      forgetUnpacked();
      throw why;
    } finally {
      URL.revokeObjectURL(modelUrl);
    }
  }

  async function ask(
    on: Line,
    message: VoskAsk,
    limitMs = answerMs,
    transfer: Transferable[] = [],
  ): Promise<VoskAnswer> {
    const answer = (await on.ask(message, limitMs, transfer)) as VoskAnswer;
    // The engine throws numbers, too, and then there is no reason in the message.
    if (answer?.event === 'error') throw damaged(answer.error ?? engineMessages.noModel);
    return answer;
  }

  const taken = (answer: VoskAnswer): void => {
    if (answer?.event !== 'result') return;
    for (const { word, conf, start, end } of answer.result.result ?? []) {
      // What is outside of the list of words comes as this.
      const spelled = word === '[unk]' ? [word] : options.words(word);
      for (const one of spelled) {
        heard.push({ word: one, probability: conf, startMs: start * 1000, endMs: end * 1000 });
      }
    }
  };

  async function letGo(): Promise<void> {
    const recognizerId = hearing;
    hearing = undefined;
    heard = [];
    if (recognizerId !== undefined && line.alive) {
      await ask(line, { action: 'remove', recognizerId });
    }
  }

  return {
    id: 'vosk',
    async expect(words) {
      grammar = JSON.stringify([...words, '[unk]']);
    },
    async start() {
      await letGo();
      if (line.alive && utterances >= recycleAfter) {
        line.end(new PortError('closed', engineMessages.engine.renewed(name)));
      }
      if (!line.alive && !closed) {
        line = await open();
        utterances = 0;
      }
      utterances += 1;
      const recognizerId = String(utterances);
      await ask(line, {
        action: 'create',
        recognizerId,
        sampleRate,
        ...(grammar === undefined ? {} : { grammar }),
      });
      line.tell({ action: 'set', recognizerId, key: 'words', value: true } satisfies VoskAsk);
      hearing = recognizerId;
    },
    async feed(sound) {
      if (hearing === undefined || sound.length === 0) return heard.map(({ word }) => word);
      const data = sound.map((sample) => sample * scale);
      const answer = await ask(
        line,
        { action: 'audioChunk', recognizerId: hearing, data, sampleRate },
        answerMs,
        [data.buffer],
      );
      taken(answer);
      const partial = answer?.event === 'partialresult' ? answer.result.partial : '';
      return [...heard.map(({ word }) => word), ...partial.split(' ').filter((w) => w !== '')];
    },
    async finish() {
      if (hearing === undefined) return [];
      taken(await ask(line, { action: 'retrieveFinalResult', recognizerId: hearing }));
      const words = heard;
      await letGo();
      return [words];
    },
    abort: letGo,
    async close() {
      closed = true;
      line.end(new PortError('closed', engineMessages.engine.closed(name)));
      forgetUnpacked();
    },
  };
}

const damaged = (why: string): PortError =>
  new PortError('corrupt', engineMessages.engine.refused(name, why.split('\n')[0] ?? ''));

/** The engine unpacks its model into a database of its own, a second time for each start. */
export function forgetUnpacked(): void {
  globalThis.indexedDB?.deleteDatabase('/vosk');
}

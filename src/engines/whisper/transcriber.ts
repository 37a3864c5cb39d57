import { joined, PortError } from '../../ports.ts';
import { Line, type LineWorker } from '../free/line.ts';
import type { Transcriber } from '../free/transcriber.ts';
import { engineMessages } from '../messages.ts';
import type { WhisperAnswer, WhisperAsk } from './protocol.ts';

export interface WhisperOptions {
  /** The model's files by their path in its folder. */
  readonly files: ReadonlyMap<string, Blob>;
  /** Free text in the grammar's words. */
  readonly words: (text: string) => readonly string[];
  /** Makes the worker; absent, the real one. */
  readonly start?: () => LineWorker;
  /** Time limits in ms. */
  readonly loadMs?: number;
  readonly answerMs?: number;
  /** Utterances after which the worker is ended and its memory freed; the engine's own grows. */
  readonly recycleAfter?: number;
}

const name = 'Whisper';

/**
 * The engine Whisper in a worker. It writes down whole utterances, free of any grammar, and says
 * nothing before the utterance has ended.
 *
 * @throws PortError `not-found`, `corrupt`, `unsupported`, `timed-out` when the model does not load
 */
export async function createWhisper(options: WhisperOptions): Promise<Transcriber> {
  const { loadMs = 180_000, answerMs = 30_000, recycleAfter = 50, start = engineWorker } = options;
  let line = await open();
  let utterances = 0;
  let closed = false;
  let sound: Float32Array[] | undefined;

  async function open(): Promise<Line> {
    const fresh = new Line(name, start);
    try {
      await ask(fresh, { is: 'open', files: options.files }, loadMs);
      return fresh;
    } catch (why) {
      fresh.end(new PortError('closed', engineMessages.engine.notLoaded(name)));
      throw why;
    }
  }

  return {
    id: 'whisper',
    expect: async () => {},
    async start() {
      if (line.alive && utterances >= recycleAfter) {
        line.end(new PortError('closed', engineMessages.engine.renewed(name)));
      }
      if (!line.alive && !closed) {
        line = await open();
        utterances = 0;
      }
      utterances += 1;
      sound = [];
    },
    async feed(piece) {
      sound?.push(piece.slice());
      return [];
    },
    async finish() {
      const whole = joined(sound ?? []);
      sound = undefined;
      if (whole.length === 0) return [];
      const ms = (whole.length / 16_000) * 1000;
      const answer = await ask(line, { is: 'hear', sound: whole }, answerMs, [whole.buffer]);
      const words = options.words(answer.text);
      // The engine does not say when; the words are spread over the utterance.
      const each = ms / Math.max(1, words.length);
      return [
        words.map((word, i) => ({
          word,
          probability: answer.probability,
          startMs: Math.round(i * each),
          endMs: Math.round((i + 1) * each),
        })),
      ];
    },
    async abort() {
      sound = undefined;
    },
    async close() {
      closed = true;
      line.end(new PortError('closed', engineMessages.engine.closed(name)));
    },
  };
}

async function ask(
  line: Line,
  message: WhisperAsk,
  limitMs: number,
  transfer: Transferable[] = [],
): Promise<Extract<WhisperAnswer, { ok: true }>> {
  const answer = (await line.ask(message, limitMs, transfer)) as WhisperAnswer;
  if (!answer.ok) throw new PortError(answer.code, answer.message);
  return answer;
}

const engineWorker = (): LineWorker =>
  new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'whisper' });

import type { WordNetwork } from '../../grammar/network.ts';
import { type Fit, type Fitting, PortError, type Recogniser } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import type { Answer, Ask, RequestName, Requests } from './protocol.ts';

/** The little of a Worker that is needed here. */
export interface RecogniserWorker {
  postMessage(ask: Ask, transfer: Transferable[]): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<Answer>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export interface ClientOptions {
  /** Address of the folder of mixture models, with a slash at its end, on the page's own origin. */
  readonly model: string | URL;
  /** Address of `examear.bin`, likewise. */
  readonly weights: string | URL;
  /** Files of another model, by name, in place of those at the address. */
  readonly files?: ReadonlyMap<string, Blob>;
  readonly pronunciations: Pronunciations;
  /** Makes the worker; absent, the real one. */
  readonly start?: () => RecogniserWorker;
  /** Time limits in ms. */
  readonly loadMs?: number;
  readonly answerMs?: number;
}

/**
 * Both ears in a worker of their own.
 *
 * - A request Must settle: when an answer is overdue the worker is ended and everything it still
 *   owed fails with `timed-out`.
 * - A worker that ended, for whatever reason, Must be replaced by a fresh one that listens for the
 *   same network, with the same fit, when the next utterance starts; the utterance in progress is lost and says so.
 *
 * @throws PortError `not-found`, `corrupt`, `unsupported`, `timed-out` when it does not load
 */
export async function earsInWorker(options: ClientOptions): Promise<Recogniser> {
  const client = new Client(options);
  await client.open();
  return client;
}

interface Pending {
  readonly resolve: (what: Requests[RequestName]['answer']) => void;
  readonly reject: (why: PortError) => void;
  readonly timer: ReturnType<typeof setTimeout>;
}

class Client implements Recogniser {
  readonly id = 'ears';
  readonly #options: ClientOptions;
  readonly #pending = new Map<number, Pending>();
  #worker: RecogniserWorker | undefined;
  #network: WordNetwork | undefined;
  #fit: Fit | undefined;
  #next = 0;
  #closed = false;

  readonly fitting: Fitting = {
    hold: (words) => this.#ask('hold', words),
    settle: (held, right) => this.#ask('settle', { held, right }),
    test: (sound, words) => this.#ask('test', { sound, words }),
    learn: () => this.#ask('learn', undefined),
    use: async (fit) => {
      await this.#revive();
      const used = await this.#ask('use', fit);
      this.#fit = used ? fit : undefined;
      return used;
    },
    forget: async () => {
      this.#fit = undefined;
      if (this.#worker !== undefined) await this.#ask('forgetReplies', undefined);
    },
  };

  constructor(options: ClientOptions) {
    this.#options = options;
  }

  async open(): Promise<void> {
    const { model, weights, files = new Map(), pronunciations, loadMs = 30_000 } = this.#options;
    try {
      this.#worker = this.#options.start?.() ?? engineWorker();
    } catch (cause) {
      throw new PortError('unsupported', engineMessages.unable, { cause });
    }
    this.#worker.onmessage = ({ data }) => {
      const pending = this.#pending.get(data.id);
      if (pending === undefined) return;
      this.#pending.delete(data.id);
      clearTimeout(pending.timer);
      if (data.ok) pending.resolve(data.what);
      else pending.reject(new PortError(data.code, data.message));
    };
    this.#worker.onerror = (event) =>
      this.#end(
        new PortError(
          'corrupt',
          engineMessages.stopped(event.message || engineMessages.didNotLoad),
        ),
      );
    try {
      await this.#ask(
        'open',
        {
          model: String(model),
          weights: String(weights),
          files,
          pronunciations: [...pronunciations],
        },
        loadMs,
      );
    } catch (why) {
      this.#end(new PortError('closed', engineMessages.notLoaded));
      throw why;
    }
  }

  async listenFor(network: WordNetwork): Promise<void> {
    await this.#revive();
    await this.#ask('listenFor', network);
    this.#network = network;
  }

  async start(): Promise<void> {
    await this.#revive();
    await this.#ask('start', undefined);
  }

  feed(sound: Float32Array) {
    // A view would take its whole buffer along; a copy of its own can be handed over.
    const own = sound.slice();
    return this.#ask('feed', own, undefined, [own.buffer]);
  }

  finish() {
    return this.#ask('finish', undefined);
  }

  reconsider(networks: readonly WordNetwork[]) {
    return this.#ask('reconsider', networks);
  }

  async abort(): Promise<void> {
    if (this.#worker !== undefined) await this.#ask('abort', undefined);
  }

  async forget(): Promise<void> {
    this.#fit = undefined;
    if (this.#worker !== undefined) await this.#ask('forget', undefined);
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#end(new PortError('closed', engineMessages.wasClosed));
  }

  async #revive(): Promise<void> {
    if (this.#closed) throw new PortError('closed', engineMessages.isClosed);
    if (this.#worker !== undefined) return;
    await this.open();
    if (this.#fit !== undefined) await this.#ask('use', this.#fit);
    if (this.#network !== undefined) await this.#ask('listenFor', this.#network);
  }

  #ask<Name extends RequestName>(
    is: Name,
    what: Requests[Name]['ask'],
    limitMs = this.#options.answerMs ?? 15_000,
    transfer: Transferable[] = [],
  ): Promise<Requests[Name]['answer']> {
    return new Promise((resolve, reject) => {
      if (this.#worker === undefined) {
        reject(new PortError('closed', engineMessages.utteranceLost));
        return;
      }
      const id = this.#next++;
      const timer = setTimeout(
        () => this.#end(new PortError('timed-out', engineMessages.noAnswer)),
        limitMs,
      );
      this.#pending.set(id, { resolve, reject, timer });
      try {
        this.#worker.postMessage({ id, is, what } as Ask, transfer);
      } catch (cause) {
        clearTimeout(timer);
        this.#pending.delete(id);
        reject(new PortError('unsupported', engineMessages.notAsked, { cause }));
      }
    });
  }

  #end(why: PortError): void {
    this.#worker?.terminate();
    this.#worker = undefined;
    const owed = [...this.#pending.values()];
    this.#pending.clear();
    for (const { reject, timer } of owed) {
      clearTimeout(timer);
      reject(why);
    }
  }
}

const engineWorker = (): RecogniserWorker =>
  new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'recogniser' });

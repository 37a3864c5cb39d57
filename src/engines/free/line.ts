import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';

const { engine: text } = engineMessages;

/** The little of a Worker that is needed here. */
export interface LineWorker {
  postMessage(message: unknown, transfer: Transferable[]): void;
  terminate(): void;
  onmessage: ((event: MessageEvent) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

interface Owed {
  readonly resolve: (answer: unknown) => void;
  readonly reject: (why: PortError) => void;
  readonly timer: ReturnType<typeof setTimeout>;
}

/**
 * A worker that answers every message with one of its own, in order. An answer that is overdue ends
 * the worker, and everything it owed fails; the line is then dead and its owner opens another.
 */
export class Line {
  readonly #name: string;
  readonly #owed: Owed[] = [];
  #worker: LineWorker | undefined;

  /** @throws PortError `unsupported` when the browser starts no worker */
  constructor(name: string, start: () => LineWorker) {
    this.#name = name;
    try {
      this.#worker = start();
    } catch (cause) {
      throw new PortError('unsupported', text.unable(name), { cause });
    }
    this.#worker.onmessage = ({ data }) => {
      const first = this.#owed.shift();
      if (first === undefined) return;
      clearTimeout(first.timer);
      first.resolve(data);
    };
    this.#worker.onerror = (event) =>
      this.end(
        new PortError('corrupt', text.stopped(name, event.message || engineMessages.didNotLoad)),
      );
  }

  get alive(): boolean {
    return this.#worker !== undefined;
  }

  ask(message: unknown, limitMs: number, transfer: Transferable[] = []): Promise<unknown> {
    return new Promise((resolve, reject) => {
      if (this.#worker === undefined) {
        reject(new PortError('closed', text.utteranceLost(this.#name)));
        return;
      }
      const timer = setTimeout(
        () => this.end(new PortError('timed-out', text.noAnswer(this.#name))),
        limitMs,
      );
      this.#owed.push({ resolve, reject, timer });
      this.tell(message, transfer);
    });
  }

  /** For a message without an answer. */
  tell(message: unknown, transfer: Transferable[] = []): void {
    try {
      this.#worker?.postMessage(message, transfer);
    } catch (cause) {
      this.end(new PortError('unsupported', text.notAsked(this.#name), { cause }));
    }
  }

  /** Ends the worker; its memory is free. */
  end(why: PortError): void {
    this.#worker?.terminate();
    this.#worker = undefined;
    for (const { reject, timer } of this.#owed.splice(0)) {
      clearTimeout(timer);
      reject(why);
    }
  }
}

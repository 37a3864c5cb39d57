import { PortError } from '../../ports.ts';
import { voiceMessages } from '../messages.ts';
import type { Flite, Speech } from './flite.ts';
import type { Answer, Ask } from './protocol.ts';

/** The little of a Worker that is needed here. */
export interface FliteWorker {
  postMessage(ask: Ask): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<Answer>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

interface Pending {
  readonly settle: (how: Speech | PortError) => void;
}

/**
 * The synthesiser in a worker of its own, started at the first rendering.
 *
 * - A rendering Must settle: after `limitMs` without an answer the worker is ended, everything it
 *   still owed fails with `timed-out`, and the next rendering starts a fresh one.
 * - An abort Must settle at once; the worker goes on, since a rendering takes less time than a start.
 */
export function fliteInWorker(
  start: () => FliteWorker = () =>
    new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'voice' }),
  limitMs = 10_000,
): Flite & { close(): void } {
  const pending = new Map<number, Pending>();
  let worker: FliteWorker | undefined;
  let next = 0;

  const end = (why: PortError): void => {
    worker?.terminate();
    worker = undefined;
    for (const { settle } of [...pending.values()]) settle(why);
  };
  const running = (): FliteWorker => {
    if (worker !== undefined) return worker;
    worker = start();
    worker.onmessage = ({ data }) =>
      pending
        .get(data.id)
        ?.settle(data.is === 'speech' ? data.speech : new PortError(data.code, data.message));
    worker.onerror = (event) =>
      end(new PortError('corrupt', voiceMessages.ended(event.message || voiceMessages.notLoaded)));
    return worker;
  };

  return {
    render(text, manner, signal) {
      return new Promise<Speech>((resolve, reject) => {
        const id = next++;
        const aborted = () => settle(new PortError('aborted', voiceMessages.stopped));
        const timer = setTimeout(
          () => end(new PortError('timed-out', voiceMessages.noAnswer)),
          limitMs,
        );
        const settle: Pending['settle'] = (how) => {
          clearTimeout(timer);
          signal?.removeEventListener('abort', aborted);
          pending.delete(id);
          if (how instanceof PortError) reject(how);
          else resolve(how);
        };
        pending.set(id, { settle });
        if (signal?.aborted) return aborted();
        signal?.addEventListener('abort', aborted);
        try {
          running().postMessage({ id, text, manner });
        } catch (cause) {
          settle(new PortError('unsupported', voiceMessages.unable, { cause }));
        }
      });
    },
    close: () => end(new PortError('closed', voiceMessages.closed)),
  };
}

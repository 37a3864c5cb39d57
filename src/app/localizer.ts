import type { Finding, LanguageId } from '../exam/index.ts';
import type { Localization } from '../localize/index.ts';
import { roomMessages } from '../ui/index.ts';

/** What the page sends to the worker, and what comes back under the same number. */
export interface Ask {
  readonly id: number;
  readonly findings: readonly Finding[];
  /** What the answer is told in. */
  readonly language: LanguageId;
}
export type Answer =
  | { readonly id: number; readonly is: 'done'; readonly localization: Localization }
  | { readonly id: number; readonly is: 'failed'; readonly message: string };

export interface Localizer {
  /** Begins, so that the first request does not wait for it. Safe to leave out, and to call again. */
  prepare(): void;
  /**
   * Computes where the lesion is, off the page's own thread. Only the latest request is answered;
   * those before it resolve to nothing.
   */
  localize(findings: readonly Finding[]): Promise<Localization | undefined>;
}

/** Longer than this on a slow phone means that it hangs. */
const limitMs = 60_000;

/** The localizer in a worker, begun when first asked. A worker that fails or hangs is begun anew. */
export function localizerInWorker(
  language: LanguageId,
  start: () => Worker = () =>
    new Worker(new URL('./localizer.worker.ts', import.meta.url), {
      type: 'module',
      name: 'localizer',
    }),
): Localizer {
  let worker: Worker | undefined;
  let last = 0;
  let settle: ((answer: Answer | undefined) => void) | undefined;

  const end = (message: string): void => {
    worker?.terminate();
    worker = undefined;
    settle?.({ id: last, is: 'failed', message });
  };
  const running = (): Worker => {
    if (worker !== undefined) return worker;
    worker = start();
    worker.onmessage = ({ data }: MessageEvent<Answer>) => {
      if (data.id === last) settle?.(data);
    };
    worker.onerror = () => end(roomMessages.notLocalized);
    return worker;
  };

  return {
    prepare: () => void running(),
    localize(findings) {
      settle?.(undefined);
      const id = ++last;
      return new Promise((resolve, reject) => {
        const timer = setTimeout(() => end(roomMessages.localizedTooLate), limitMs);
        settle = (answer) => {
          settle = undefined;
          clearTimeout(timer);
          if (answer?.is === 'failed') reject(new Error(answer.message));
          else resolve(answer?.localization);
        };
        running().postMessage({ id, findings, language } satisfies Ask);
      });
    },
  };
}

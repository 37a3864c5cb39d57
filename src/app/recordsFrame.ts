import { PortError } from '../ports.ts';
import { lineOf } from './fault.ts';
import { appMessages } from './messages.ts';

/**
 * The page may connect to its own address only, and style nothing inline. What must do otherwise (a
 * server that the user named, a sheet of paper) is done in a frame of the page with a policy of its
 * own (policy.mjs), which is given just what it needs and is gone afterwards.
 */
export type FromFrame =
  | { readonly is: 'ready' }
  | { readonly is: 'told'; readonly line: string }
  | { readonly is: 'done'; readonly result: string | undefined }
  | { readonly is: 'failed'; readonly code: PortError['code']; readonly message: string };

const readyMs = 15_000;

/** Hands a task to a frame. @throws PortError as the frame does */
export async function inFrame(
  page: string,
  task: object,
  {
    told = () => {},
    signal,
  }: { readonly told?: (line: string) => void; readonly signal?: AbortSignal } = {},
): Promise<string | undefined> {
  const over = new AbortController();
  const frame = document.createElement('iframe');
  frame.className = 'unseen';
  frame.setAttribute('aria-hidden', 'true');
  frame.tabIndex = -1;
  frame.src = page;
  const ended = new Promise<string | undefined>((resolve, reject) => {
    const late = setTimeout(
      () => reject(new PortError('unsupported', appMessages.frame.unable)),
      readyMs,
    );
    over.signal.addEventListener('abort', () => clearTimeout(late));
    signal?.addEventListener(
      'abort',
      () => reject(new PortError('aborted', appMessages.frame.stopped)),
      { signal: over.signal },
    );
    const heard = ({ source, origin, data }: MessageEvent<FromFrame>): void => {
      if (source !== frame.contentWindow || origin !== location.origin) return;
      switch (data.is) {
        case 'ready':
          clearTimeout(late);
          frame.contentWindow?.postMessage(task, location.origin);
          break;
        case 'told':
          told(data.line);
          break;
        case 'done':
          resolve(data.result);
          break;
        case 'failed':
          reject(new PortError(data.code, data.message));
          break;
        default:
          data satisfies never;
      }
    };
    addEventListener('message', heard, { signal: over.signal });
  });
  document.body.append(frame);
  try {
    return await ended;
  } finally {
    over.abort();
    frame.remove();
  }
}

/** Inside of the frame: does the one task that it is handed. */
export function framed<T>(
  act: (task: T, told: (line: string) => void) => Promise<string | undefined>,
): void {
  const tell = (what: FromFrame): void => parent.postMessage(what, location.origin);
  addEventListener(
    'message',
    ({ source, origin, data }: MessageEvent<T>) => {
      if (source !== parent || origin !== location.origin) return;
      act(data, (line) => tell({ is: 'told', line })).then(
        (result) => tell({ is: 'done', result }),
        (why: unknown) =>
          tell({
            is: 'failed',
            code: why instanceof PortError ? why.code : 'closed',
            message: lineOf(why),
          }),
      );
    },
    { once: true },
  );
  tell({ is: 'ready' });
}

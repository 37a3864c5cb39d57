import { PortError, type PortErrorCode } from '../../ports.ts';
import type { Installation } from './install.ts';
import type { Model } from './manifest.ts';
import { modelFaultMessages as text } from './messages.ts';

/**
 * The page may connect to its own address only. A model is fetched in a hidden frame whose policy
 * (policy.mjs) allows the addresses of that one model beside; nothing of an exam is ever in it.
 */
export type ToFrame =
  | { readonly is: 'add'; readonly model: string; readonly confirm: string | undefined }
  | { readonly is: 'stop' };

export type FromFrame =
  | { readonly is: 'ready' }
  | { readonly is: 'progress'; readonly done: number }
  | { readonly is: 'ended'; readonly installation: Installation }
  | { readonly is: 'failed'; readonly code: PortErrorCode; readonly message: string };

export interface FetchOptions {
  readonly progress: (done: number) => void;
  readonly signal: AbortSignal;
  readonly confirm: string | undefined;
}

const readyMs = 15_000;

/** Installs a model from its addresses. @throws PortError as `install` does */
export async function fetchInFrame(model: Model, options: FetchOptions): Promise<Installation> {
  const { progress, signal, confirm } = options;
  const over = new AbortController();
  const frame = document.createElement('iframe');
  frame.hidden = true;
  frame.src = `./fetch-${model.id}.html`;
  const tell = (what: ToFrame): void => frame.contentWindow?.postMessage(what, location.origin);
  const ended = new Promise<Installation>((resolve, reject) => {
    const late = setTimeout(() => {
      const why = text.notHere(model.id);
      reject(new PortError('unsupported', why));
    }, readyMs);
    over.signal.addEventListener('abort', () => clearTimeout(late));
    const heard = ({ source, origin, data }: MessageEvent<FromFrame>): void => {
      if (source !== frame.contentWindow || origin !== location.origin) return;
      switch (data.is) {
        case 'ready':
          clearTimeout(late);
          tell({ is: 'add', model: model.id, confirm });
          break;
        case 'progress':
          progress(data.done);
          break;
        case 'ended':
          resolve(data.installation);
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
  signal.addEventListener('abort', () => tell({ is: 'stop' }), { signal: over.signal });
  document.body.append(frame);
  try {
    return await ended;
  } finally {
    over.abort();
    frame.remove();
  }
}

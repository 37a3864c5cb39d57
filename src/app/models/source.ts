import { PortError } from '../../ports.ts';
import type { Model, ModelFile } from './manifest.ts';
import { modelFaultMessages as text } from './messages.ts';

export type Answer =
  /** There is nothing beyond what was kept. */
  | { readonly is: 'complete' }
  | {
      readonly is: 'bytes';
      /** Where they begin: at what was asked for, or at 0. */
      readonly from: number;
      readonly pieces: AsyncIterable<Uint8Array>;
    };

/** Where the bytes of a model come from. */
export interface ModelSource {
  /**
   * The bytes of a file from a place on.
   * @throws PortError `not-found`, `corrupt`, `timed-out`, `aborted`
   */
  open(file: ModelFile, from: number, signal?: AbortSignal): Promise<Answer>;
}

/** For what has come already and waits to be confirmed. */
export const nothingMore: ModelSource = { open: async () => ({ is: 'complete' }) };

export interface WebOptions {
  readonly fetch?: typeof fetch;
  /** The address of a file; by default its own. */
  readonly addressOf?: (file: ModelFile) => string | undefined;
  /** An answer, and each next piece of it, must come within this time. */
  readonly stallMs?: number;
}

/** Files from their addresses. Nothing is sent along: no cookie, no referrer. */
export function webSource(options: WebOptions = {}): ModelSource {
  const { addressOf = ({ address }) => address, stallMs = 30_000 } = options;
  const ask = options.fetch ?? fetch;
  return {
    async open(file, from, signal) {
      const address = addressOf(file);
      if (address === undefined) {
        throw new PortError('not-found', text.noAddress(file.path));
      }
      const stalled = new AbortController();
      const watch = watchdog(stallMs, () => stalled.abort());
      const stop = AbortSignal.any([stalled.signal, ...(signal === undefined ? [] : [signal])]);
      const failed = (cause: unknown): PortError => {
        if (cause instanceof PortError) return cause;
        watch.end();
        if (signal?.aborted) return new PortError('aborted', text.sourceStopped, { cause });
        const line = stalled.signal.aborted ? text.noAnswer : text.unreachable;
        return new PortError('timed-out', line(hostOf(address)), { cause });
      };
      watch.begin();
      const response = await ask(address, {
        signal: stop,
        credentials: 'omit',
        referrerPolicy: 'no-referrer',
        cache: 'no-store',
        // Compressed, the place in the answer would not be the place in the file.
        headers: from > 0 ? { range: `bytes=${from}-`, 'accept-encoding': 'identity' } : {},
      }).catch((cause: unknown) => {
        throw failed(cause);
      });
      watch.end();
      if (response.status === 416 && from > 0) return { is: 'complete' };
      if (!response.ok || response.body === null) {
        throw new PortError(
          'not-found',
          text.hostLacks(hostOf(address), file.path, response.status),
        );
      }
      if (response.headers.get('content-type')?.startsWith('text/html')) {
        await response.body.cancel();
        throw new PortError('corrupt', text.hostGivesPage(hostOf(address), file.path));
      }
      const reader = response.body.getReader();
      async function* pieces(): AsyncGenerator<Uint8Array> {
        try {
          for (;;) {
            watch.begin();
            const { done, value } = await reader.read();
            watch.end();
            if (done) return;
            yield value;
          }
        } catch (cause) {
          throw failed(cause);
        } finally {
          watch.end();
          reader.cancel().catch(() => undefined);
        }
      }
      return { is: 'bytes', from: response.status === 206 ? from : 0, pieces: pieces() };
    },
  };
}

/** A file that the user chose; a folder's files have the way to them in their name. */
export interface ChosenFile {
  readonly name: string;
  readonly blob: Blob;
}

/** Files that the user chose, found by name; the only file of a model may be called anything. */
export function chosenSource(model: Model, files: readonly ChosenFile[]): ModelSource {
  const named = (path: string): ChosenFile | undefined =>
    model.files.length === 1 && files.length === 1
      ? files[0]
      : (files.find(({ name }) => name === path || name.endsWith(`/${path}`)) ??
        files.find(({ name }) => lastOf(name) === lastOf(path)));
  return {
    async open(file, from) {
      const found = named(file.path);
      if (found === undefined) {
        throw new PortError('not-found', text.notChosen(file.path));
      }
      async function* pieces(blob: Blob): AsyncGenerator<Uint8Array> {
        const size = 1 << 20;
        for (let at = from; at < blob.size; at += size) {
          yield new Uint8Array(await blob.slice(at, at + size).arrayBuffer());
        }
      }
      return { is: 'bytes', from, pieces: pieces(found.blob) };
    },
  };
}

const lastOf = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

const hostOf = (address: string): string => new URL(address).host;

function watchdog(ms: number, bark: () => void) {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const end = (): void => clearTimeout(timer);
  return {
    begin(): void {
      end();
      timer = setTimeout(bark, ms);
    },
    end,
  };
}

import { PortError } from '../../ports.ts';
import { joined, lengthOf, megabytes, sha256Of } from './bytes.ts';
import type { Model, ModelFile } from './manifest.ts';
import { modelFaultMessages as text } from './messages.ts';
import type { ModelShelf } from './shelf.ts';
import type { ModelSource } from './source.ts';

/** The hash of a file that the manifest has none for. */
export interface SeenHash {
  readonly path: string;
  readonly sha256: string;
}

export type Installation =
  | { readonly is: 'installed' }
  /**
   * Everything has come, and of some files the manifest has no hash. Nothing is in place until the
   * user has compared these with what the publisher says, and installs again with `confirm`.
   */
  | {
      readonly is: 'unconfirmed';
      readonly hashes: readonly SeenHash[];
      readonly fingerprint: string;
    };

export interface InstallOptions {
  readonly model: Model;
  readonly source: ModelSource;
  readonly shelf: ModelShelf;
  /** Bytes that have come, of the model's `bytes`. */
  readonly progress?: (done: number) => void;
  readonly signal?: AbortSignal;
  /** The fingerprint of an earlier `unconfirmed`, which the user has found right. */
  readonly confirm?: string;
}

/** Bytes that are written at once. */
const atOnce = 1 << 19;

/** More than this over what the publisher rounds its size to is another file. */
const slack = { times: 2, bytes: 1_000_000 };

/**
 * Brings a model onto the shelf: each file whole and of the right hash, all of them at once in place
 * or none. What has come stays when it is interrupted, and the next time goes on from there.
 *
 * @throws PortError `not-found`, `corrupt`, `full`, `timed-out`, `aborted` in one line
 */
export async function install(options: InstallOptions): Promise<Installation> {
  const { model, shelf, progress = () => {}, confirm } = options;
  const room = await shelf.room();
  let done = 0;
  for (const { path } of model.files) done += await shelf.kept(model.id, path);
  if (room !== undefined && room < model.bytes - done) {
    throw new PortError(
      'full',
      text.noRoom(model.id, megabytes(model.bytes - done), megabytes(room)),
    );
  }
  progress(done);
  const seen: SeenHash[] = [];
  const hashes: Record<string, string> = {};
  for (const file of model.files) {
    await bring(file, options, (change) => {
      done += change;
      progress(done);
    });
    const bytes = await shelf.read(model.id, file.path);
    const sha256 = await sha256Of(bytes);
    if (file.sha256 !== null && sha256 !== file.sha256) {
      await shelf.drop(model.id, file.path);
      throw new PortError('corrupt', text.wrongHash(file.path, model.id, sha256));
    }
    if (file.sha256 === null) seen.push({ path: file.path, sha256 });
    hashes[file.path] = sha256;
  }
  if (seen.length > 0) {
    const fingerprint = await fingerprintOf(seen);
    if (confirm !== fingerprint) return { is: 'unconfirmed', hashes: seen, fingerprint };
  }
  await shelf.finish(model.id, hashes);
  return { is: 'installed' };
}

async function bring(
  file: ModelFile,
  { model, source, shelf, signal }: InstallOptions,
  came: (change: number) => void,
): Promise<void> {
  let waiting: Uint8Array[] = [];
  const refuse = async (line: string): Promise<never> => {
    waiting = [];
    await shelf.drop(model.id, file.path);
    throw new PortError('corrupt', line);
  };
  const exact = file.known === 'measured';
  const most = exact ? file.bytes : file.bytes * slack.times + slack.bytes;
  let kept = await shelf.kept(model.id, file.path);
  if (exact && kept === file.bytes) return;
  if (kept > most) {
    await shelf.drop(model.id, file.path);
    came(-kept);
    kept = 0;
  }
  const answer = await source.open(file, kept, signal).catch((why: unknown) => {
    throw signal?.aborted ? stopped(model) : why;
  });
  if (answer.is === 'complete') return;
  if (answer.from !== kept) {
    await shelf.drop(model.id, file.path);
    came(-kept);
    kept = 0;
  }
  const keep = async (): Promise<void> => {
    const bytes = joined(waiting);
    waiting = [];
    if (bytes.length > 0) await shelf.add(model.id, file.path, bytes);
  };
  try {
    for await (const piece of answer.pieces) {
      if (signal?.aborted) break;
      if (kept === 0 && looksLikePage(piece)) await refuse(text.isPage(file.path, model.id));
      kept += piece.length;
      if (kept > most) await refuse(text.tooLong(file.path, model.id, file.bytes));
      waiting.push(piece);
      came(piece.length);
      if (lengthOf(waiting) >= atOnce) await keep();
    }
  } catch (why) {
    // A source that is stopped in mid piece says so in its own way.
    throw signal?.aborted ? stopped(model) : why;
  } finally {
    await keep();
  }
  if (signal?.aborted) throw stopped(model);
  if (exact && kept < file.bytes) {
    throw new PortError('timed-out', text.brokeOff(file.path, model.id, kept, file.bytes));
  }
}

const stopped = ({ id }: Model): PortError => new PortError('aborted', text.stopped(id));

/** Whether bytes begin as HTML does; no file of a model does. */
function looksLikePage(bytes: Uint8Array): boolean {
  const start = new TextDecoder().decode(bytes.subarray(0, 64)).trimStart().toLowerCase();
  return start.startsWith('<!doctype') || start.startsWith('<html');
}

/** One value for all hashes together, to be confirmed in one piece. */
const fingerprintOf = (hashes: readonly SeenHash[]): Promise<string> =>
  sha256Of(
    new TextEncoder().encode(hashes.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join('')),
  );

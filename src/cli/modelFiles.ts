import { createReadStream } from 'node:fs';
import { appendFile, mkdir, readFile, rename, rm, stat, statfs, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Model } from '../app/models/manifest.ts';
import type { ModelShelf } from '../app/models/shelf.ts';
import type { ModelSource } from '../app/models/source.ts';
import { PortError } from '../ports.ts';
import { commandLine } from './messages.ts';

/** Where this user's models are kept: `PLESSOR_MODELS`, else where the system keeps such data. */
export function modelsFolder(
  env: NodeJS.ProcessEnv = process.env,
  platform = process.platform,
): string {
  if (env.PLESSOR_MODELS) return env.PLESSOR_MODELS;
  const home = homedir();
  switch (platform) {
    case 'win32':
      return join(env.LOCALAPPDATA ?? join(home, 'AppData', 'Local'), 'plessor', 'models');
    case 'darwin':
      return join(home, 'Library', 'Application Support', 'plessor', 'models');
    default:
      return join(env.XDG_DATA_HOME || join(home, '.local', 'share'), 'plessor', 'models');
  }
}

const { models: text } = commandLine;

const hashesName = 'installed.json';

/**
 * Models in a folder: `ID/` when installed, `ID.part/` while they come. A model is in place by one
 * renaming, so that a stop at any moment leaves it installed or not.
 */
export function folderShelf(folder: string): ModelShelf {
  const coming = (model: string, path = ''): string => join(folder, `${model}.part`, path);
  const there = (model: string, path = ''): string => join(folder, model, path);
  const writing = async <T>(write: () => Promise<T>): Promise<T> =>
    write().catch((cause: NodeJS.ErrnoException) => {
      const full = cause.code === 'ENOSPC' || cause.code === 'EDQUOT';
      throw new PortError(
        full ? 'full' : 'denied',
        full ? text.folderFull(folder) : text.folderUnwritable(folder, `${cause.code}`),
        { cause },
      );
    });
  return {
    async room() {
      await writing(() => mkdir(folder, { recursive: true }));
      const { bavail, bsize } = await statfs(folder);
      return bavail * bsize;
    },
    kept: (model, path) =>
      stat(coming(model, path)).then(
        ({ size }) => size,
        () => 0,
      ),
    add: (model, path, bytes) =>
      writing(async () => {
        await mkdir(dirname(coming(model, path)), { recursive: true });
        await appendFile(coming(model, path), bytes);
      }),
    read: async (model, path) => new Uint8Array(await readFile(coming(model, path))),
    drop: (model, path) => rm(coming(model, path), { force: true }),
    finish: (model, hashes) =>
      writing(async () => {
        await writeFile(coming(model, hashesName), JSON.stringify(hashes));
        await rm(there(model), { recursive: true, force: true });
        await rename(coming(model), there(model));
      }),
    installed: (model) =>
      readFile(there(model, hashesName), 'utf8').then(
        (text) => JSON.parse(text) as Readonly<Record<string, string>>,
        () => undefined,
      ),
    file: (model, path) =>
      readFile(there(model, path)).then(
        (bytes) => new Uint8Array(bytes),
        (cause: unknown) => {
          throw new PortError('not-found', text.fileMissing(path, model), { cause });
        },
      ),
    async remove(model) {
      await rm(coming(model), { recursive: true, force: true });
      await rm(there(model), { recursive: true, force: true });
    },
  };
}

/** Files in a folder, or the one file of a model of one. */
export function folderSource(model: Model, place: string): ModelSource {
  return {
    async open(file, from) {
      const alone = model.files.length === 1 && (await isFile(place));
      const tries = alone
        ? [place]
        : [join(place, file.path), join(place, file.path.slice(file.path.lastIndexOf('/') + 1))];
      for (const path of tries) {
        if (!(await isFile(path))) continue;
        return { is: 'bytes', from, pieces: createReadStream(path, { start: from }) };
      }
      const { debian } = model;
      throw new PortError(
        'not-found',
        debian?.folder === place
          ? text.debianLacks(place, file.path, debian.package)
          : text.placeLacks(place, file.path),
      );
    },
  };
}

const isFile = (path: string): Promise<boolean> =>
  stat(path).then(
    (found) => found.isFile(),
    () => false,
  );

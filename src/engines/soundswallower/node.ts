import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { PortError, type Recogniser } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import type { Pronunciations } from './dictionary.ts';
import type { LoadFile } from './model.ts';
import { quietModule } from './module.ts';
import { createRecogniser } from './recogniser.ts';
import type { Tuning } from './tuning.ts';

/** Reads model files from a folder. @throws PortError `not-found` naming the file */
export const filesIn =
  (folder: string | URL): LoadFile =>
  async (name) => {
    const base = folder instanceof URL ? fileURLToPath(folder) : folder;
    const path = `${base.replace(/[\\/]$/, '')}/${name}`;
    return readFile(path).catch((cause: unknown) => {
      throw new PortError('not-found', engineMessages.model.unreadable(path), { cause });
    });
  };

/** The English model inside the engine's package. */
export const packagedModel = (): URL =>
  new URL('./model/en-us/', import.meta.resolve('soundswallower'));

/**
 * The recogniser in Node.
 *
 * @param options.loadFile the model; by default the one in the engine's package
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export const createSoundswallower = (options: {
  readonly pronunciations: Pronunciations;
  readonly loadFile?: LoadFile;
  readonly tuning?: Partial<Tuning>;
}): Promise<Recogniser> =>
  createRecogniser({
    createModule: quietModule,
    loadFile: options.loadFile ?? filesIn(packagedModel()),
    pronunciations: options.pronunciations,
    ...(options.tuning === undefined ? {} : { tuning: options.tuning }),
  });

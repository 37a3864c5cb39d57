import { readFile } from 'node:fs/promises';
import createModule from 'soundswallower';
import { PortError, type Recogniser } from '../../ports.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import type { LoadFile } from '../soundswallower/model.ts';
import { filesIn, packagedModel } from '../soundswallower/node.ts';
import { createEars } from './recogniser.ts';

/**
 * Both ears in Node.
 *
 * @param options.weights path of `examear.bin`
 * @param options.loadFile the mixture models; by default those in the engine's package
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export async function earsInNode(options: {
  readonly weights: string | URL;
  readonly pronunciations: Pronunciations;
  readonly loadFile?: LoadFile;
}): Promise<Recogniser> {
  const weights = await readFile(options.weights).catch((cause: unknown) => {
    throw new PortError(
      'not-found',
      `speech model: ${String(options.weights)} cannot be read; install the program again`,
      { cause },
    );
  });
  return createEars({
    weights: new Uint8Array(weights),
    createModule: () =>
      createModule({ print: () => {}, printErr: () => {} }) as unknown as Promise<object>,
    loadFile: options.loadFile ?? filesIn(packagedModel()),
    pronunciations: options.pronunciations,
  });
}

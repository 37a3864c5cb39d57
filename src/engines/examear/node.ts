import { readFile } from 'node:fs/promises';
import { PortError, type Recogniser } from '../../ports.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import { packagedModel } from '../soundswallower/node.ts';
import { createExamEar } from './recogniser.ts';

/**
 * The recogniser in Node.
 *
 * @param options.weights path of `examear.bin`
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export async function examEarInNode(options: {
  readonly weights: string | URL;
  readonly pronunciations: Pronunciations;
}): Promise<Recogniser> {
  const read = (path: string | URL): Promise<Buffer> =>
    readFile(path).catch((cause: unknown) => {
      throw new PortError(
        'not-found',
        `speech model: ${String(path)} cannot be read; install the program again`,
        { cause },
      );
    });
  const [weights, dictionary] = await Promise.all([
    read(options.weights),
    read(new URL('dict.txt', packagedModel())),
  ]);
  return createExamEar({
    weights: new Uint8Array(weights),
    pronunciations: options.pronunciations,
    dictionary: dictionary.toString('utf8'),
  });
}

import { readFile } from 'node:fs/promises';
import { PortError, type Recogniser } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import { filesIn, packagedModel } from '../soundswallower/node.ts';
import { createExamEar } from './recogniser.ts';

/** The file `examear.bin`. @throws PortError `not-found` */
export async function weightsAt(path: string | URL): Promise<Uint8Array> {
  return new Uint8Array(
    await readFile(path).catch((cause: unknown) => {
      throw new PortError('not-found', engineMessages.model.unreadable(String(path)), { cause });
    }),
  );
}

/**
 * The recogniser in Node.
 *
 * @param options.weights path of `examear.bin`
 * @param options.watched as of `ExamEarParts`
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export async function examEarInNode(options: {
  readonly weights: string | URL;
  readonly pronunciations: Pronunciations;
  readonly watched?: () => number;
}): Promise<Recogniser> {
  const [weights, dictionary] = await Promise.all([
    weightsAt(options.weights),
    filesIn(packagedModel())('dict.txt'),
  ]);
  return createExamEar({
    ...options,
    weights,
    dictionary: new TextDecoder().decode(dictionary),
  });
}

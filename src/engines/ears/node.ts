import type { Recogniser } from '../../ports.ts';
import { weightsAt } from '../examear/node.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import type { LoadFile } from '../soundswallower/model.ts';
import { quietModule } from '../soundswallower/module.ts';
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
  return createEars({
    weights: await weightsAt(options.weights),
    createModule: quietModule,
    loadFile: options.loadFile ?? filesIn(packagedModel()),
    pronunciations: options.pronunciations,
  });
}

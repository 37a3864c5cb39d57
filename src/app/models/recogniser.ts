import { soundswallowerInWorker } from '../../engines/soundswallower/client.ts';
import type { Pronunciations } from '../../engines/soundswallower/dictionary.ts';
import type { Calibration } from '../../interpret/index.ts';
import { PortError, type Recogniser } from '../../ports.ts';
import { embeddedCalibration } from '../calibration.ts';
import { sha256Of } from './bytes.ts';
import type { Model } from './manifest.ts';
import type { ModelShelf } from './shelf.ts';

/** Engines of the page. */
export const pageEngines: readonly string[] = ['soundswallower'];

export interface LoadedModel {
  readonly recogniser: Recogniser;
  /** What this model's scores mean. */
  readonly calibration: Calibration;
}

export interface ModelPlace {
  /** Where the embedded model lies, with a slash at its end. */
  readonly embeddedAt: URL;
  readonly pronunciations: Pronunciations;
  readonly shelf: () => Promise<ModelShelf>;
}

/**
 * Loads a model into its engine.
 * @throws PortError `not-found`, `corrupt`, `unsupported`, `timed-out`
 */
export async function loadModel(model: Model, place: ModelPlace): Promise<LoadedModel> {
  const { embeddedAt, pronunciations } = place;
  const files = model.package === undefined ? await filesOf(model, await place.shelf()) : new Map();
  const recogniser = await soundswallowerInWorker({ model: embeddedAt, files, pronunciations });
  return { recogniser, calibration: embeddedCalibration };
}

/** The files of an installed model, each checked to be the one that was installed. */
async function filesOf(model: Model, shelf: ModelShelf): Promise<ReadonlyMap<string, Blob>> {
  const hashes = await shelf.installed(model.id);
  if (hashes === undefined) {
    throw new PortError('not-found', `${model.name} is not installed; add it again`);
  }
  const files = new Map<string, Blob>();
  for (const { path } of model.files) {
    const bytes = await shelf.file(model.id, path);
    if ((await sha256Of(bytes)) !== hashes[path]) {
      throw new PortError(
        'corrupt',
        `${path} of ${model.name} is damaged; remove it and add it again`,
      );
    }
    files.set(path, new Blob([bytes]));
  }
  if (model.frontEnd !== undefined) {
    files.set('feat_params.json', new Blob([JSON.stringify(model.frontEnd)]));
  }
  return files;
}

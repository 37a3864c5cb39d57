import { earsInWorker } from '../../engines/ears/client.ts';
import { recogniserOf } from '../../engines/free/recogniser.ts';
import type { Transcriber } from '../../engines/free/transcriber.ts';
import type { Pronunciations } from '../../engines/soundswallower/dictionary.ts';
import type { Calibration } from '../../interpret/index.ts';
import { PortError, type Recogniser } from '../../ports.ts';
import { calibrationOf } from '../calibration/index.ts';
import { sha256Of } from './bytes.ts';
import type { Model } from './manifest.ts';
import { modelFaultMessages as text } from './messages.ts';
import type { ModelShelf } from './shelf.ts';

/** Engines of the page. */
export const pageEngines: readonly string[] = ['soundswallower', 'vosk', 'whisper'];

export interface LoadedModel {
  readonly recogniser: Recogniser;
  /** What this model's scores mean. */
  readonly calibration: Calibration;
}

export interface ModelPlace {
  /** Where the embedded model lies, with a slash at its end. */
  readonly embeddedAt: URL;
  /** Where the exam ear's weights lie. */
  readonly examEarAt: URL;
  /** Where the worker of Vosk lies. */
  readonly voskWorkerAt: URL;
  /** Free text in the grammar's words. */
  readonly words: (text: string) => readonly string[];
  readonly pronunciations: Pronunciations;
  readonly shelf: () => Promise<ModelShelf>;
}

/**
 * Loads a model into its engine.
 * @throws PortError `not-found`, `corrupt`, `unsupported`, `timed-out`
 */
export async function loadModel(model: Model, place: ModelPlace): Promise<LoadedModel> {
  const { embeddedAt, examEarAt, pronunciations, words } = place;
  const files: ReadonlyMap<string, Blob> =
    model.package === undefined ? await filesOf(model, await place.shelf()) : new Map();
  switch (model.engine) {
    case 'soundswallower': {
      const recogniser = await earsInWorker({
        model: embeddedAt,
        weights: examEarAt,
        files,
        pronunciations,
      });
      return { recogniser, calibration: calibrationOf(model.id) };
    }
    // The other engines are large: each is fetched from this page's server when it is to hear.
    case 'vosk': {
      const [[, packed = new Blob()] = []] = files;
      const { createVosk } = await import('../../engines/vosk/transcriber.ts');
      const start = () => new Worker(place.voskWorkerAt, { name: 'vosk' });
      return freeWords(model, await createVosk({ model: packed, start, words }));
    }
    case 'whisper': {
      const { createWhisper } = await import('../../engines/whisper/transcriber.ts');
      return freeWords(model, await createWhisper({ files, words }));
    }
    default:
      throw new PortError('unsupported', text.noEngine(model.id));
  }
}

const freeWords = ({ id }: Model, transcriber: Transcriber): LoadedModel => ({
  recogniser: recogniserOf(transcriber),
  calibration: calibrationOf(id),
});

/** The files of an installed model, each checked to be the one that was installed. */
async function filesOf(model: Model, shelf: ModelShelf): Promise<ReadonlyMap<string, Blob>> {
  const hashes = await shelf.installed(model.id);
  if (hashes === undefined) {
    throw new PortError('not-found', text.notInstalled(model.name));
  }
  const files = new Map<string, Blob>();
  for (const { path } of model.files) {
    const bytes = await shelf.file(model.id, path);
    if ((await sha256Of(bytes)) !== hashes[path]) {
      throw new PortError('corrupt', text.damaged(path, model.name));
    }
    files.set(path, new Blob([bytes]));
  }
  if (model.frontEnd !== undefined) {
    files.set('feat_params.json', new Blob([JSON.stringify(model.frontEnd)]));
  }
  return files;
}

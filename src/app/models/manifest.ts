import published from '../../../models-manifest/manifest.json' with { type: 'json' };
import schema from '../../../models-manifest/manifest.schema.json' with { type: 'json' };
import { PortError, soundRate } from '../../ports.ts';
import { modelFaultMessages as text } from './messages.ts';
import { breachOf } from './schema.ts';

/** A file of a model; see `models-manifest/manifest.schema.json` for what each field says. */
export interface ModelFile {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string | null;
  readonly known: 'measured' | 'stated' | 'unknown';
  readonly address?: string;
}

/** What a model did on the benchmark, on one kind of sound. */
export interface MeasuredRow {
  readonly sound: string;
  readonly findings: number;
  readonly right: number;
  readonly asked: number;
  readonly missed: number;
  readonly wrong: number;
  readonly realTime: number;
  readonly date: string;
}

export interface Model {
  readonly id: string;
  readonly name: string;
  readonly engine: string;
  readonly language: string;
  readonly sampleRate: number;
  readonly bytes: number;
  readonly licence: string;
  readonly notice: string;
  readonly package?: string;
  readonly debian?: { readonly package: string; readonly folder: string };
  readonly completedBy?: string;
  readonly frontEnd?: Readonly<Record<string, string | number | boolean>>;
  readonly hosts?: readonly string[];
  readonly needs: { readonly memoryMB: number; readonly webgpu: boolean };
  readonly measured: 'not measured here' | readonly MeasuredRow[];
  readonly files: readonly ModelFile[];
}

const { manifest: written } = text;

/**
 * Models out of a manifest's JSON.
 * @throws PortError `corrupt` in one line with the path of the first field that is wrong
 */
export function readManifest(json: unknown): readonly Model[] {
  const wrong = (path: string, must: string): PortError =>
    new PortError('corrupt', written.wrong(path || written.whole, must));
  const breach = breachOf(json, schema);
  if (breach !== undefined) throw wrong(breach.path, breach.must);
  const { models } = json as { readonly models: readonly Model[] };
  for (const [i, model] of models.entries()) {
    const at = `models[${i}]`;
    if (models.findIndex(({ id }) => id === model.id) !== i) throw wrong(`${at}.id`, written.new);
    const sum = model.files.reduce((total, { bytes }) => total + bytes, 0);
    if (sum !== model.bytes) throw wrong(`${at}.bytes`, written.sum(sum));
    const completer = models.find(({ id }) => id === model.completedBy);
    if (model.completedBy !== undefined && completer?.engine !== model.engine) {
      throw wrong(`${at}.completedBy`, written.completer);
    }
    for (const [j, file] of model.files.entries()) {
      const here = `${at}.files[${j}]`;
      if (model.files.findIndex(({ path }) => path === file.path) !== j) {
        throw wrong(`${here}.path`, written.new);
      }
      if ((file.sha256 === null) !== (file.known === 'unknown')) {
        throw wrong(`${here}.sha256`, written.unknownHash);
      }
      if (file.address === undefined && model.package === undefined) {
        throw wrong(`${here}.address`, written.address);
      }
    }
  }
  return models;
}

/** Every model this program knows. */
export const models: readonly Model[] = readManifest(published);

/** The model that comes with the program. */
export const embedded: Model = modelOf('soundswallower-en-us');

/** @throws PortError `not-found` naming the models there are */
export function modelOf(id: string, all: readonly Model[] = models): Model {
  const model = all.find((one) => one.id === id);
  if (model !== undefined) return model;
  const ids = all.map((one) => one.id).join(', ');
  throw new PortError('not-found', text.unknown(id, ids));
}

/**
 * Makes sure that a model is one for this program and what is spoken, a language by its tag.
 * @throws PortError `unsupported` saying what it is for instead
 */
export function mustSuit(model: Model, engines: readonly string[], language: string): void {
  const { id } = model;
  const refuse = (line: string): never => {
    throw new PortError('unsupported', line);
  };
  if (!engines.includes(model.engine)) {
    refuse(text.otherEngine(id, model.engine, engines.join(', ')));
  }
  if (model.sampleRate !== soundRate) {
    refuse(text.otherRate(id, model.sampleRate, soundRate));
  }
  if (model.language.split('-')[0] !== language) {
    refuse(text.otherLanguage(id, model.language, language));
  }
}

/** Its files can be checked against hashes that are in the manifest, all of them. */
export const isVerifiable = (model: Model): boolean =>
  model.files.every(({ sha256 }) => sha256 !== null);

import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import manifest from '../../models-manifest/manifest.json' with { type: 'json' };
import { packagedModel } from '../engines/soundswallower/node.ts';
import { Fault } from './fault.ts';
import { answer, answerJson, tell } from './output.ts';

type Model = (typeof manifest.models)[number];

/** The model of this id. @throws Fault naming the ids there are */
export function modelOf(id: string): Model {
  const model = manifest.models.find((one) => one.id === id);
  if (model === undefined) {
    const ids = manifest.models.map((one) => one.id).join(', ');
    throw new Fault(`there is no model "${id}"; models-manifest knows ${ids}`);
  }
  return model;
}

/** Whether every file of a model is in place and is the file the manifest means. */
async function faultOf(model: Model): Promise<string | undefined> {
  for (const { path, bytes, sha256 } of model.files) {
    const file = new URL(path, packagedModel());
    const content = await readFile(file).catch(() => undefined);
    if (content === undefined) return `${path} is missing; install the program again (npm ci)`;
    if (content.length !== bytes || createHash('sha256').update(content).digest('hex') !== sha256) {
      return `${path} is not the file it should be; install the program again (npm ci)`;
    }
  }
  return undefined;
}

/** `models` and `models add ID`. */
export async function models(words: readonly string[], json: boolean): Promise<void> {
  const [verb, id, ...more] = words;
  if (verb === undefined) {
    const list = await Promise.all(
      manifest.models.map(async (model) => ({
        id: model.id,
        name: model.name,
        engine: model.engine,
        language: model.language,
        bytes: model.bytes,
        installed: (await faultOf(model)) === undefined,
      })),
    );
    if (json) answerJson(list);
    else answer(list.map(line).join('\n'));
    return;
  }
  if (verb !== 'add' || id === undefined || more.length > 0) {
    throw new Fault('models takes nothing, or "add ID"');
  }
  const model = modelOf(id);
  const fault = await faultOf(model);
  if (fault !== undefined) throw new Fault(`${id}: ${fault}`);
  tell(`${id} is installed; its ${model.files.length} files are as the manifest says`);
  if (json) answerJson({ id, installed: true });
}

const line = (model: {
  readonly id: string;
  readonly name: string;
  readonly bytes: number;
  readonly installed: boolean;
}): string =>
  `${model.installed ? 'installed' : 'absent   '}  ${model.id}  ${(model.bytes / 1e6).toFixed(1)} MB  ${model.name}`;

import { megabytes, sha256Of } from '../app/models/bytes.ts';
import { type Installation, install } from '../app/models/install.ts';
import {
  embedded,
  models as known,
  type Model,
  modelOf as manifestModel,
  mustSuit,
} from '../app/models/manifest.ts';
import type { ModelShelf } from '../app/models/shelf.ts';
import { type ModelSource, nothingMore, webSource } from '../app/models/source.ts';
import type { LoadFile } from '../engines/soundswallower/model.ts';
import { filesIn, packagedModel } from '../engines/soundswallower/node.ts';
import { chosenLanguage } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import { Fault } from './fault.ts';
import { commandLine } from './messages.ts';
import { folderShelf, folderSource, modelsFolder } from './modelFiles.ts';
import { answer, answerJson, tell } from './output.ts';

const { models: text } = commandLine;

/** Engines that run on the command line; the others need a browser. */
const engines = ['soundswallower'];

const orFault = (cause: unknown): never => {
  throw cause instanceof PortError ? new Fault(cause.message) : cause;
};

/** The model of this id. @throws Fault naming the ids there are */
export function modelOf(id: string): Model {
  try {
    return manifestModel(id);
  } catch (cause) {
    return orFault(cause);
  }
}

/**
 * The files of a model that hears here, each checked against its hash.
 *
 * @throws Fault when it is not installed, is damaged, or is none for this program
 */
export async function modelFiles(
  id: string,
  shelf = folderShelf(modelsFolder()),
): Promise<LoadFile> {
  const model = modelOf(id);
  try {
    mustSuit(model, engines, chosenLanguage);
  } catch (cause) {
    orFault(cause);
  }
  const fault = await faultOf(model, shelf);
  if (fault !== undefined) throw new Fault(commandLine.of(id, fault));
  const packaged = filesIn(packagedModel());
  if (model.package !== undefined) return packaged;
  return async (name) => {
    if (name === 'feat_params.json' && model.frontEnd !== undefined) {
      return new TextEncoder().encode(JSON.stringify(model.frontEnd));
    }
    return model.files.some(({ path }) => path === name) ? shelf.file(id, name) : packaged(name);
  };
}

/** What keeps a model from being used; nothing when every file is the one that was installed. */
async function faultOf(model: Model, shelf: ModelShelf): Promise<string | undefined> {
  const again = model.package === undefined ? text.addAgain(model.id) : text.installAgain;
  const hashes =
    model.package === undefined
      ? await shelf.installed(model.id)
      : Object.fromEntries(model.files.map(({ path, sha256 }) => [path, sha256]));
  if (hashes === undefined) return text.notInstalled(again);
  for (const { path } of model.files) {
    const bytes = await (model.package === undefined
      ? shelf.file(model.id, path)
      : filesIn(packagedModel())(path as Parameters<LoadFile>[0])
    ).catch(() => undefined);
    if (bytes === undefined) return text.missing(path, again);
    if ((await sha256Of(new Uint8Array(bytes))) !== hashes[path]) {
      return text.otherFile(path, again);
    }
  }
  return undefined;
}

export interface ModelsOptions {
  /** Where an added model comes from: an address, a folder or a file; absent, its own address. */
  readonly from: string | undefined;
  /** From the files of its Debian package. */
  readonly debian: boolean;
  /** The fingerprint that the user has found right. */
  readonly confirm: string | undefined;
  readonly json: boolean;
  readonly shelf?: ModelShelf;
}

/** `models`, `models add ID` and `models remove ID`. @throws Fault */
export async function models(words: readonly string[], options: ModelsOptions): Promise<void> {
  const [verb, id, ...more] = words;
  const { json, shelf = folderShelf(modelsFolder()) } = options;
  if (verb === undefined) {
    const list = await Promise.all(known.map((model) => described(model, shelf)));
    if (json) answerJson(list);
    else answer(list.map(line).join('\n'));
    return;
  }
  if (!['add', 'remove'].includes(verb) || id === undefined || more.length > 0) {
    throw new Fault(text.badWords);
  }
  const model = modelOf(id);
  if (verb === 'remove') {
    if (model === embedded) throw new Fault(text.bundled(id));
    await shelf.remove(id);
    tell(text.removed(id));
    if (json) answerJson({ id, installed: false });
    return;
  }
  if (model.package === undefined && (await faultOf(model, shelf)) !== undefined) {
    await add(model, shelf, options);
  }
  const fault = await faultOf(model, shelf);
  if (fault !== undefined) throw new Fault(commandLine.of(id, fault));
  tell(text.installed(id, model.files.length));
  if (json) answerJson({ id, installed: true });
}

async function add(model: Model, shelf: ModelShelf, options: ModelsOptions): Promise<void> {
  const { id, bytes, licence, notice } = model;
  const source = sourceOf(model, options);
  tell(commandLine.of(id, text.about(megabytes(bytes), licence, notice)));
  let shown = -1;
  const done: Installation = await install({
    model,
    source,
    shelf,
    progress: (came) => {
      const tenth = Math.floor((10 * came) / bytes);
      if (tenth > shown && tenth <= 10) tell(commandLine.of(id, text.percent(tenth * 10)));
      shown = Math.max(shown, tenth);
    },
    ...(options.confirm === undefined ? {} : { confirm: options.confirm }),
  }).catch(orFault);
  if (done.is === 'installed') return;
  for (const { path, sha256 } of done.hashes) tell(`  ${sha256}  ${path}`);
  throw new Fault(text.unconfirmed(id, done.fingerprint));
}

/** @throws Fault for a place that a model cannot come from */
function sourceOf(model: Model, { from, debian, confirm }: ModelsOptions): ModelSource {
  if (confirm !== undefined) return nothingMore;
  if (debian) {
    if (model.debian === undefined) throw new Fault(text.noDebian(model.id));
    return folderSource(model, from ?? model.debian.folder);
  }
  if (from === undefined) return webSource();
  if (!/^https?:\/\//.test(from)) return folderSource(model, from);
  const unhashed = model.files.some(({ sha256 }) => sha256 === null);
  if (from.startsWith('http:') && unhashed) {
    throw new Fault(text.unsafe(from));
  }
  const base = from.endsWith('/') ? from : `${from}/`;
  return webSource({ addressOf: ({ path }) => new URL(path, base).href });
}

interface Described {
  readonly id: string;
  readonly name: string;
  readonly engine: string;
  readonly language: string;
  readonly bytes: number;
  readonly installed: boolean;
  /** Whether it can hear on the command line; the others hear in the page. */
  readonly hears: boolean;
  readonly licence: string;
  readonly measured: Model['measured'];
}

const described = async (model: Model, shelf: ModelShelf): Promise<Described> => ({
  id: model.id,
  name: model.name,
  engine: model.engine,
  language: model.language,
  bytes: model.bytes,
  installed: (await faultOf(model, shelf)) === undefined,
  hears: engines.includes(model.engine),
  licence: model.licence,
  measured: model.measured,
});

const line = ({ id, name, bytes, installed, hears }: Described): string =>
  [
    (installed ? text.standing.installed : text.standing.absent).padEnd(9),
    id.padEnd(22),
    megabytes(bytes).padStart(8),
    hears ? name : text.pageOnly(name),
  ].join('  ');

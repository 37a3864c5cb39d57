import { signal } from '@preact/signals';
import { chosenLanguage } from '../../exam/index.ts';
import { PortError } from '../../ports.ts';
import {
  type ModelList,
  type ModelRow,
  type ModelState,
  modelMessages as text,
} from '../../ui/index.ts';
import type { FetchOptions } from './frame.ts';
import { type Installation, install } from './install.ts';
import { embedded, isVerifiable, type Model, modelOf, models, mustSuit } from './manifest.ts';
import type { ModelShelf } from './shelf.ts';
import { chosenSource, type ModelSource, nothingMore } from './source.ts';

export interface ModelListParts {
  readonly shelf: () => Promise<ModelShelf>;
  /** Fetches and installs a model from its addresses. */
  readonly fetch: (model: Model, options: FetchOptions) => Promise<Installation>;
  /** Engines that this page has. */
  readonly engines: readonly string[];
  readonly device: { readonly memoryGB: number | undefined; readonly webgpu: boolean };
  readonly store: Pick<Storage, 'getItem' | 'setItem'>;
  /** Another model hears from now on. */
  readonly chose: (model: Model) => void;
}

const key = 'plessor-model';

/** The models as signals the page reads, over a shelf and a way to fetch. */
export function createModelList(parts: ModelListParts): ModelList & {
  /** What hears: the model that was chosen, where it is installed; else the embedded one. */
  hearing(): Promise<Model>;
  /** The model could not be loaded: the embedded one hears. */
  failed(id: string, why: unknown): void;
} {
  const { engines, device, store } = parts;
  const rows = signal<readonly ModelRow[]>(models.map((model) => rowOf(model, unfitOf(model))));
  const chosen = signal(kept());
  const stops = new Map<string, AbortController>();
  const fingerprints = new Map<string, string>();

  function kept(): string {
    try {
      const id = store.getItem(key) ?? embedded.id;
      return models.some((model) => model.id === id) ? id : embedded.id;
    } catch {
      return embedded.id;
    }
  }

  function unfitOf(model: Model): string {
    try {
      mustSuit(model, engines, chosenLanguage);
    } catch (why) {
      return lineOf(why);
    }
    const { memoryMB, webgpu } = model.needs;
    if (webgpu && !device.webgpu) return text.noWebgpu;
    const { memoryGB } = device;
    return memoryGB !== undefined && memoryMB > memoryGB * 500 ? text.tooLittle(`${memoryGB}`) : '';
  }

  const change = (id: string, to: Partial<Pick<ModelRow, 'state' | 'fault'>>): void => {
    rows.value = rows.value.map((row) => (row.id === id ? { ...row, ...to } : row));
  };

  async function stateOf(model: Model): Promise<ModelState> {
    if (model.package !== undefined) return { is: 'installed' };
    const shelf = await parts.shelf();
    if ((await shelf.installed(model.id)) !== undefined) return { is: 'installed' };
    let bytes = 0;
    for (const { path } of model.files) bytes += await shelf.kept(model.id, path);
    return { is: 'absent', kept: bytes };
  }

  /** Runs a job on one model; what goes wrong is told in its row. */
  async function on(id: string, job: (model: Model) => Promise<void>): Promise<void> {
    change(id, { fault: '' });
    try {
      await job(modelOf(id));
    } catch (why) {
      change(id, { fault: lineOf(why) });
    }
    const row = rows.peek().find((one) => one.id === id);
    if (row?.state.is !== 'unconfirmed') await settle(id);
  }

  /** Shows what there is of a model. */
  async function settle(id: string): Promise<void> {
    await stateOf(modelOf(id)).then(
      (state) => change(id, { state }),
      (why: unknown) => change(id, { fault: lineOf(why) }),
    );
  }

  const bring = (
    id: string,
    how: (model: Model, options: FetchOptions) => Promise<Installation>,
  ): Promise<void> =>
    on(id, async (model) => {
      if (stops.has(id)) return;
      const stop = new AbortController();
      stops.set(id, stop);
      change(id, { state: { is: 'coming', done: 0 } });
      try {
        const installation = await how(model, {
          progress: (done) => change(id, { state: { is: 'coming', done } }),
          signal: stop.signal,
          confirm: fingerprints.get(id),
        });
        if (installation.is === 'installed') {
          fingerprints.delete(id);
          change(id, { state: { is: 'installed' } });
          return;
        }
        const { hashes, fingerprint } = installation;
        fingerprints.set(id, fingerprint);
        change(id, { state: { is: 'unconfirmed', hashes } });
      } finally {
        stops.delete(id);
      }
    });

  const from =
    (sourceOf: (model: Model) => ModelSource) =>
    async (model: Model, { confirm, ...rest }: FetchOptions): Promise<Installation> =>
      install({
        model,
        source: sourceOf(model),
        shelf: await parts.shelf(),
        ...rest,
        ...(confirm === undefined ? {} : { confirm }),
      });

  function choose(id: string): void {
    chosen.value = id;
    try {
      store.setItem(key, id);
    } catch {
      // A browser that keeps nothing hears with it until the page is closed.
    }
    parts.chose(modelOf(id));
  }

  return {
    rows,
    chosen,
    look() {
      for (const { id, state } of rows.peek()) {
        if (state.is === 'absent' || state.is === 'installed') void settle(id);
      }
    },
    add: (id) => {
      // What the user has not confirmed yet is not confirmed by asking for it again.
      fingerprints.delete(id);
      void navigator.storage?.persist?.().catch(() => false);
      void bring(id, parts.fetch);
    },
    addFrom: (id, files) => {
      if (files.length === 0) return;
      fingerprints.delete(id);
      const chosenFiles = files.map((file) => ({
        name: file.webkitRelativePath || file.name,
        blob: file,
      }));
      void bring(
        id,
        from((model) => chosenSource(model, chosenFiles)),
      );
    },
    stop: (id) => stops.get(id)?.abort(),
    // All bytes are here: nothing is fetched, and nothing but these bytes is installed.
    confirm: (id) =>
      void bring(
        id,
        from(() => nothingMore),
      ),
    remove: (id) =>
      void on(id, async (model) => {
        if (chosen.peek() === id) choose(embedded.id);
        await (await parts.shelf()).remove(model.id);
        change(id, { state: { is: 'absent', kept: 0 } });
      }),
    choose,
    failed(id, why) {
      chosen.value = embedded.id;
      change(id, { fault: lineOf(why) });
    },
    async hearing() {
      const model = modelOf(chosen.peek());
      if (model.package !== undefined) return model;
      // A browser that keeps nothing has no other model than the embedded one.
      const there = await parts
        .shelf()
        .then((shelf) => shelf.installed(model.id))
        .catch(() => undefined);
      return there === undefined ? embedded : model;
    },
  };
}

const rowOf = (model: Model, unfit: string): ModelRow => ({
  id: model.id,
  name: model.name,
  language: model.language,
  bytes: model.bytes,
  memoryMB: model.needs.memoryMB,
  licence: model.licence,
  notice: model.notice,
  hosts: [
    ...new Set(model.files.flatMap(({ address }) => (address ? [new URL(address).host] : []))),
  ],
  bundled: model.package !== undefined,
  hashed: isVerifiable(model),
  measured: typeof model.measured === 'string' ? [] : model.measured.map(text.measuredOn),
  unfit,
  state: model.package === undefined ? { is: 'absent', kept: 0 } : { is: 'installed' },
  fault: '',
});

const lineOf = (why: unknown): string =>
  why instanceof PortError ? why.message : text.wrong(String(why));

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Offline } from '../ui/index.ts';

/** The page kept on this device, so that it opens without a network. */
export interface Keeping {
  readonly state: ReadonlySignal<Offline>;
  /**
   * Begins to keep the page; to be called when nothing more urgent is being loaded. A new version
   * waits until the page is next opened, so that no exam is broken off.
   *
   * @param untouched whether nothing was said or typed yet: then a version that waits may start
   */
  begin(untouched: () => boolean): Promise<void>;
}

export function createKeeping(
  container: ServiceWorkerContainer | undefined,
  storage: Pick<StorageManager, 'estimate'> | undefined,
): Keeping {
  const state = signal<Offline>({ is: 'unable' });

  async function kept(): Promise<void> {
    const usage = await storage?.estimate().then(
      (estimate) => estimate.usage,
      () => undefined,
    );
    state.value = { is: 'kept', megabytes: Math.round((usage ?? 0) / 1e6) };
  }

  return {
    state,
    async begin(untouched) {
      if (container === undefined) return;
      try {
        state.value = { is: 'fetching' };
        const registration = await container.register('./offline.js', { scope: './' });
        if (registration.waiting !== null && container.controller !== null && untouched()) {
          container.addEventListener('controllerchange', () => location.reload(), { once: true });
          registration.waiting.postMessage('take over');
          return;
        }
        registration.addEventListener('updatefound', () => {
          const coming = registration.installing;
          coming?.addEventListener('statechange', () => {
            if (coming.state === 'installed' && registration.active !== null) {
              state.value = { is: 'updated' };
            }
          });
        });
        await container.ready;
        if (state.peek().is === 'fetching') await kept();
      } catch {
        // A private window, a full disk: the page works on, with a network.
        state.value = { is: 'unable' };
      }
    },
  };
}

import type { Identity, SealedVault } from '../store/index.ts';
import { packs } from './recordsLate.ts';

/** The key that signs for whoever uses this device. */
export interface Identities {
  own(): Promise<Identity>;
  /** Reads the key that was kept, once the records are open. */
  load(): Promise<void>;
  forget(): void;
}

/** A key is made when first wanted; it lasts where the records are open, else as long as the page. */
export function createIdentities(vault: SealedVault): Identities {
  let known: Identity | undefined;
  const kept = async (): Promise<Identity | undefined> => {
    const found = (await vault.setting('identity').catch(() => undefined)) as Identity | undefined;
    return typeof found?.publicKey === 'string' ? found : undefined;
  };
  return {
    async own() {
      known ??= vault.locked ? undefined : await kept();
      if (known === undefined) {
        known = await (await packs.get()).makeIdentity();
        // Where there is no room for it, it signs for as long as this page lives.
        if (!vault.locked) await vault.setSetting('identity', known).catch(() => undefined);
      }
      return known;
    },
    async load() {
      known = (await kept()) ?? known;
      if (known !== undefined) await vault.setSetting('identity', known).catch(() => undefined);
    },
    forget() {
      known = undefined;
    },
  };
}

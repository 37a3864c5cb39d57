import { writeWav } from '../audio/wav.ts';
import type { EntryId, ExamRecord } from '../exam/index.ts';
import type { Sound } from '../ports.ts';
import { type Clip, checkReview, type KeptReport, type Opinion, partsOf } from '../report/index.ts';
import {
  type Bytes,
  chainOf,
  type Identity,
  makeIdentity,
  type SealedVault,
  sign,
  writePack,
} from '../store/index.ts';

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
        known = await makeIdentity();
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

/** How a person signs. */
export interface Signer {
  readonly identity: Identity;
  readonly name: string;
  /** ISO 8601. */
  readonly at: string;
}

/** A pack of an exam, signed over all that is in it. */
export async function packOf(
  kept: KeptReport,
  clips: readonly Clip[],
  opinions: readonly Opinion[],
  signer: Signer,
  passphrase: string,
): Promise<Bytes> {
  return signedPack(partsOf(kept, clips, opinions), signer, passphrase);
}

/** Parts with one more signature over all of them, as one encrypted file. */
export async function signedPack(
  parts: readonly unknown[],
  { identity, name, at }: Signer,
  passphrase: string,
): Promise<Bytes> {
  const hashes = await chainOf(parts.map((part) => JSON.stringify(part)));
  const signature = await sign(hashes.at(-1) ?? '', identity, name, at);
  return writePack([...parts, signature], passphrase);
}

const prefix = 'sound-';
const encode = (text: string): Bytes => new TextEncoder().encode(text);

/** The sound of one utterance as it is kept beside its exam. Names sort by time. */
export function clipOf(
  sound: Sound,
  entries: readonly EntryId[],
  words: string,
  readBack: string,
): { readonly name: string; readonly content: Bytes } {
  const wav = base64(writeWav(sound));
  const clip: Clip = { kind: 'clip', entries, words, readBack, wav };
  const order = String(Date.now()).padStart(15, '0');
  return {
    name: `${prefix}${order}-${crypto.randomUUID().slice(0, 8)}`,
    content: encode(JSON.stringify(clip)),
  };
}

/** The sounds beside an exam that still belong to it, in their order. One that is damaged is left out. */
export async function clipsOf(
  vault: SealedVault,
  exam: string,
  record: ExamRecord,
): Promise<readonly Clip[]> {
  const names = (await vault.attachments(exam)).filter((name) => name.startsWith(prefix));
  const clips: Clip[] = [];
  for (const name of names) {
    const content = await vault.attached(exam, name).catch(() => undefined);
    if (content === undefined) continue;
    const clip: Clip = JSON.parse(new TextDecoder().decode(content));
    if (checkReview(partsOf({ exam, record }, [clip])).ok) clips.push(clip);
  }
  return clips;
}

function base64(bytes: Uint8Array): string {
  let text = '';
  // In pieces: an argument list has a limit.
  for (let at = 0; at < bytes.length; at += 8192) {
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  }
  return btoa(text);
}

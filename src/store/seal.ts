import { PortError } from '../ports.ts';
import { storeMessages } from './messages.ts';
import type { Bytes } from './shelf.ts';

/** Version of what is inside a sealed row; it is part of what the seal covers. */
export const sealVersion = 1;

/** AES-GCM's own length of an initialisation vector (NIST SP 800-38D, 8.2): 96 bits, random. */
const ivLength = 12;

/**
 * Content under the key, as `iv ‖ ciphertext ‖ tag`. The place is covered by the seal but not in it:
 * bytes that were moved to another place do not open there.
 */
export const seal = (key: CryptoKey, place: string, content: unknown): Promise<Bytes> =>
  sealBytes(key, place, new TextEncoder().encode(JSON.stringify(content)));

export async function sealBytes(key: CryptoKey, place: string, plain: Bytes): Promise<Bytes> {
  const iv = crypto.getRandomValues(new Uint8Array(ivLength));
  const cipher = await crypto.subtle.encrypt(algorithm(iv, place), key, plain);
  const sealed = new Uint8Array(ivLength + cipher.byteLength);
  sealed.set(iv);
  sealed.set(new Uint8Array(cipher), ivLength);
  return sealed;
}

/** @throws PortError `corrupt` for anything but what `seal` gave for this key and place */
export async function unseal(key: CryptoKey, place: string, sealed: Bytes): Promise<unknown> {
  const plain = await unsealBytes(key, place, sealed);
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(plain));
  } catch (cause) {
    throw damaged(cause);
  }
}

/** @throws PortError `corrupt` for anything but what `sealBytes` gave for this key and place */
export async function unsealBytes(key: CryptoKey, place: string, sealed: Bytes): Promise<Bytes> {
  try {
    const iv = sealed.slice(0, ivLength);
    const cipher = sealed.subarray(ivLength);
    return new Uint8Array(await crypto.subtle.decrypt(algorithm(iv, place), key, cipher));
  } catch (cause) {
    throw damaged(cause);
  }
}

const damaged = (cause: unknown): PortError =>
  new PortError('corrupt', storeMessages.damaged, { cause });

const algorithm = (iv: Bytes, place: string): AesGcmParams => ({
  name: 'AES-GCM',
  iv,
  additionalData: new TextEncoder().encode(place),
});

/** The place of an event: nothing else may be opened as it. */
export const eventPlace = (exam: string, index: number): string =>
  JSON.stringify(['plessor', sealVersion, 'event', exam, index]);

export const coverPlace = (exam: string): string =>
  JSON.stringify(['plessor', sealVersion, 'cover', exam]);

export const attachmentPlace = (exam: string, name: string): string =>
  JSON.stringify(['plessor', sealVersion, 'attachment', exam, name]);

export const settingPlace = (name: string): string =>
  JSON.stringify(['plessor', sealVersion, 'setting', name]);

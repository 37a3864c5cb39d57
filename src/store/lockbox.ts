import { PortError } from '../ports.ts';
import { newer } from './fault.ts';
import { storeMessages } from './messages.ts';
import { type Bytes, sameBytes } from './shelf.ts';

/**
 * The key of all records, itself under the passphrase. The passphrase and what is derived from it
 * are never kept. NIST SP 800-132 for the scheme; the number of rounds is OWASP's for
 * PBKDF2-HMAC-SHA-256 (Password Storage Cheat Sheet, 2023).
 */
export interface Lockbox {
  readonly version: number;
  /** Names the key, at random; the same under every passphrase it was put. */
  readonly id: string;
  readonly iterations: number;
  readonly salt: Bytes;
  readonly iv: Bytes;
  readonly wrapped: Bytes;
}

export const lockboxVersion = 1;
export const leastIterations = 600_000;
/** A forged lockbox must neither weaken the key nor hang the program. */
export const mostIterations = 10_000_000;
const shortestPassphrase = 8;

/** A new key under a passphrase. */
export async function makeLockbox(
  passphrase: string,
): Promise<{ readonly lockbox: Lockbox; readonly key: CryptoKey }> {
  const data = await crypto.subtle.generateKey({ name: 'AES-GCM', length: 256 }, true, uses);
  const lockbox = await wrap(data, passphrase, crypto.randomUUID());
  return { lockbox, key: await openLockbox(lockbox, passphrase) };
}

/**
 * The key in a lockbox; it cannot be taken out of memory again.
 * @throws PortError `denied` for another passphrase, `unsupported` for a newer lockbox
 */
export const openLockbox = (lockbox: Lockbox, passphrase: string): Promise<CryptoKey> =>
  unwrap(lockbox, passphrase, false);

/** The same key under another passphrase. No record has to be written anew. */
export async function changeLockbox(
  lockbox: Lockbox,
  passphrase: string,
  next: string,
): Promise<Lockbox> {
  return wrap(await unwrap(lockbox, passphrase, true), next, lockbox.id);
}

const uses: KeyUsage[] = ['encrypt', 'decrypt'];

async function wrap(data: CryptoKey, passphrase: string, id: string): Promise<Lockbox> {
  if ([...passphrase].length < shortestPassphrase) {
    throw new PortError('denied', storeMessages.shortPassphrase(shortestPassphrase));
  }
  const salt = crypto.getRandomValues(new Uint8Array(16));
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const key = await passphraseKey(passphrase, salt, leastIterations, wrapping);
  const wrapped = await crypto.subtle.wrapKey('raw', data, key, algorithm(iv, leastIterations));
  return {
    version: lockboxVersion,
    id,
    iterations: leastIterations,
    salt,
    iv,
    wrapped: new Uint8Array(wrapped),
  };
}

async function unwrap(
  lockbox: Lockbox,
  passphrase: string,
  extractable: boolean,
): Promise<CryptoKey> {
  if (lockbox.version > lockboxVersion) {
    throw newer();
  }
  if (lockbox.iterations < leastIterations || lockbox.iterations > mostIterations) {
    throw new PortError('corrupt', storeMessages.damagedLock);
  }
  const key = await passphraseKey(passphrase, lockbox.salt, lockbox.iterations, wrapping);
  try {
    return await crypto.subtle.unwrapKey(
      'raw',
      lockbox.wrapped,
      key,
      algorithm(lockbox.iv, lockbox.iterations),
      'AES-GCM',
      extractable,
      uses,
    );
  } catch (cause) {
    throw new PortError('denied', storeMessages.wrongPassphrase, {
      cause,
    });
  }
}

const wrapping: readonly KeyUsage[] = ['wrapKey', 'unwrapKey'];

/** The key of a passphrase, taken in one Unicode form (NFKC) so that every keyboard gives the same. */
export async function passphraseKey(
  passphrase: string,
  salt: Bytes,
  iterations: number,
  usages: readonly KeyUsage[],
): Promise<CryptoKey> {
  const text = new TextEncoder().encode(passphrase.normalize('NFKC'));
  const base = await crypto.subtle.importKey('raw', text, 'PBKDF2', false, ['deriveKey']);
  return crypto.subtle.deriveKey(
    { name: 'PBKDF2', hash: 'SHA-256', salt, iterations },
    base,
    { name: 'AES-GCM', length: 256 },
    false,
    [...usages],
  );
}

const algorithm = (iv: Bytes, rounds: number): AesGcmParams => ({
  name: 'AES-GCM',
  iv,
  additionalData: new TextEncoder().encode(`plessor-lockbox/${lockboxVersion}/${rounds}`),
});

/** Whether two lockboxes are one and the same, or both missing. */
export function sameLockbox(a: Lockbox | undefined, b: Lockbox | undefined): boolean {
  if (a === undefined || b === undefined) return a === b;
  return sameBytes(a.wrapped, b.wrapped) && sameBytes(a.salt, b.salt);
}

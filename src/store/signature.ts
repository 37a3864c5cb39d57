import { storeMessages } from './messages.ts';
import type { Bytes } from './shelf.ts';

/** A signature as a part of a pack: it covers every part before it, through the chain's hash. */
export interface Signature {
  readonly kind: 'signature';
  /** Who says they signed. What can be trusted is the key; see `fingerprint`. */
  readonly name: string;
  /** ISO 8601, by the signer's clock. */
  readonly at: string;
  /** Public key, SPKI in base64. */
  readonly key: string;
  /** ECDSA P-256 with SHA-256 (FIPS 186-5) over the hash, name and time, base64. */
  readonly signature: string;
}

/** A key pair of one person on one device, in a form that a vault can keep. */
export interface Identity {
  /** SPKI, base64. */
  readonly publicKey: string;
  /** PKCS #8, base64. Keep it sealed. */
  readonly privateKey: string;
}

/** P-256: both Node 20 and Chromium have it; Ed25519 came to browsers later. */
const curve = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const scheme = { name: 'ECDSA', hash: 'SHA-256' } as const;

export async function makeIdentity(): Promise<Identity> {
  const pair = await crypto.subtle.generateKey(curve, true, ['sign', 'verify']);
  return {
    publicKey: base64(await crypto.subtle.exportKey('spki', pair.publicKey)),
    privateKey: base64(await crypto.subtle.exportKey('pkcs8', pair.privateKey)),
  };
}

/** Signs a chain that ends with `hash`; the result is its next part. */
export async function sign(
  hash: string,
  identity: Identity,
  name: string,
  at: string,
): Promise<Signature> {
  const key = await crypto.subtle.importKey('pkcs8', bytes(identity.privateKey), curve, false, [
    'sign',
  ]);
  const signature = await crypto.subtle.sign(scheme, key, covered(hash, name, at));
  return { kind: 'signature', name, at, key: identity.publicKey, signature: base64(signature) };
}

/** What is wrong with a signature over a chain that ends with `hash`; nothing when it holds. */
export async function signatureFault(
  part: Signature,
  hash: string | undefined,
): Promise<string | undefined> {
  if (hash === undefined) return storeMessages.pack.signsUnreadable;
  try {
    const key = await crypto.subtle.importKey('spki', bytes(part.key), curve, false, ['verify']);
    const holds = await crypto.subtle.verify(
      scheme,
      key,
      bytes(part.signature),
      covered(hash, part.name, part.at),
    );
    return holds ? undefined : storeMessages.pack.signatureUnfit;
  } catch {
    return storeMessages.pack.signatureUnchecked;
  }
}

/** Twelve groups of a key's SHA-256, for two people to compare by reading them out. */
export async function fingerprint(publicKey: string): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes(publicKey)));
  const digits = [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return digits.slice(0, 48).replace(/(.{4})(?=.)/g, '$1 ');
}

const covered = (hash: string, name: string, at: string): Bytes =>
  new TextEncoder().encode(JSON.stringify(['plessor-signature', 1, hash, name, at]));

const base64 = (buffer: ArrayBuffer): string =>
  btoa(Array.from(new Uint8Array(buffer), (byte) => String.fromCharCode(byte)).join(''));

const bytes = (text: string): Bytes => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));

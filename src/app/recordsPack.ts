import type { ExamRecord, LanguageId } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import {
  type Clip,
  checkReview,
  type Difference,
  differences,
  type KeptReport,
  type Opinion,
  partsOf,
  type Review,
  reportMessages,
} from '../report/index.ts';
import {
  type Bytes,
  chainOf,
  fingerprint,
  type Identity,
  type Pack,
  readPack,
  type SealedVault,
  sign,
  writePack,
} from '../store/index.ts';
import { type ReviewedSignature, recordsMessages as text } from '../ui/index.ts';
import { soundPrefix } from './recordsSound.ts';

/** All that packing, opening and signing a pack takes; fetched when it is first wanted. */

export { firstChange } from '../report/index.ts';
export { fingerprint, makeIdentity } from '../store/index.ts';

/** Where trainee and supervisor stand on each entry, told in a language. */
export const differencesIn = (review: Review, language: LanguageId): readonly Difference[] =>
  differences(review, reportMessages[language]);

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

/** The sounds beside an exam that still belong to it, in their order. One that is damaged is left out. */
export async function clipsOf(
  vault: SealedVault,
  exam: string,
  record: ExamRecord,
): Promise<readonly Clip[]> {
  const names = (await vault.attachments(exam)).filter((name) => name.startsWith(soundPrefix));
  const clips: Clip[] = [];
  for (const name of names) {
    const content = await vault.attached(exam, name).catch(() => undefined);
    if (content === undefined) continue;
    const clip: Clip = JSON.parse(new TextDecoder().decode(content));
    if (checkReview(partsOf({ exam, record }, [clip])).ok) clips.push(clip);
  }
  return clips;
}

/** A pack as it was opened. */
export interface OpenedPack {
  readonly passphrase: string;
  /** As they came; what is signed is these and what is added. */
  readonly parts: readonly unknown[];
  readonly review: Review;
  readonly faults: readonly string[];
  readonly signatures: readonly ReviewedSignature[];
}

/** @throws PortError as `readPack` does, and `corrupt` where what can be read of it is no exam */
export async function openedPack(content: Bytes, passphrase: string): Promise<OpenedPack> {
  const pack = await readPack(content, passphrase);
  const readable = pack.parts.filter((part) => part !== undefined);
  const checked = checkReview(readable);
  const faults = pack.faults.map(({ part, message }) => text.partFault(part + 1, message));
  if (!checked.ok) {
    const { path, message } = checked.fault;
    throw new PortError('corrupt', text.packUnreadable([...faults, `${path} ${message}`]));
  }
  const signatures = await signaturesOf(pack);
  return { passphrase, parts: readable, review: checked.value, faults, signatures };
}

async function signaturesOf({ parts, faults }: Pack): Promise<readonly ReviewedSignature[]> {
  const found: ReviewedSignature[] = [];
  for (const [i, part] of parts.entries()) {
    if (typeof part !== 'object' || part === null) continue;
    const { kind, name, at, key } = part as Readonly<Record<string, unknown>>;
    if (kind !== 'signature') continue;
    const hash = await fingerprint(String(key)).catch(() => '');
    const fault = faults.find((one) => one.part === i)?.message ?? '';
    found.push({ name: String(name), at: String(at), fingerprint: hash, fault });
  }
  return found;
}

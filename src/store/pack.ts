import { PortError } from '../ports.ts';
import { newer } from './fault.ts';
import { leastIterations, mostIterations, passphraseKey } from './lockbox.ts';
import { storeMessages } from './messages.ts';
import type { Bytes } from './shelf.ts';
import { type Signature, signatureFault } from './signature.ts';

/**
 * A review pack: one encrypted file that carries an exam, its sound, verdicts and signatures from
 * device to device. Its parts form a chain, each part's hash covering all before it (as in RFC 9162,
 * simplified to a list), and each part is sealed by itself, so that damage shows where it is.
 *
 *     PLESSOR-PACK 1\n | header length, 4 bytes big-endian | header, JSON | SHA-256 of all before |
 *     block 0 | block 1 | …
 *
 * The header has the salt and rounds of the passphrase and the length of each block. A block is
 * `iv ‖ AES-GCM(hash in hex ‖ \n ‖ part as JSON) ‖ tag`.
 */
export interface Pack {
  /** What could be read, in order; undefined stands for a part that could not. */
  readonly parts: readonly unknown[];
  /** Hash of the chain at each part, hex. */
  readonly hashes: readonly (string | undefined)[];
  /** Everything that is wrong, in the order of the parts; empty for a pack as it was written. */
  readonly faults: readonly PackFault[];
}

export interface PackFault {
  /** Place of the part, counted from 0. */
  readonly part: number;
  readonly message: string;
}

interface Header {
  readonly iterations: number;
  readonly salt: string;
  readonly lengths: readonly number[];
}

const { pack: text } = storeMessages;

const magic = new TextEncoder().encode('PLESSOR-PACK 1\n');
const family = new TextEncoder().encode('PLESSOR-PACK ');
const hashLength = 32;
const ivLength = 12;
const tagLength = 16;
const mostParts = 100_000;

/** The hash of a chain before its first part. */
const beginning = '';

/** Puts parts into a pack under a passphrase, which the other person is told some other way. */
export async function writePack(parts: readonly unknown[], passphrase: string): Promise<Bytes> {
  const texts = parts.map((part) => JSON.stringify(part));
  const hashes = await chainOf(texts);
  const contents = texts.map((text, i) => encode(`${hashes[i]}\n${text}`));
  const salt = crypto.getRandomValues(new Uint8Array(16));
  const header: Header = {
    iterations: leastIterations,
    salt: hex(salt),
    lengths: contents.map((content) => ivLength + content.length + tagLength),
  };
  const head = encode(JSON.stringify(header));
  const length = new Uint8Array(4);
  new DataView(length.buffer).setUint32(0, head.length);
  const front = joined([magic, length, head]);
  const seal = await sha256(front);
  const key = await passphraseKey(passphrase, salt, leastIterations, ['encrypt', 'decrypt']);
  const blocks = await Promise.all(
    contents.map(async (content, i) => {
      const iv = crypto.getRandomValues(new Uint8Array(ivLength));
      return joined([iv, await crypto.subtle.encrypt(algorithm(iv, seal, i), key, content)]);
    }),
  );
  return joined([front, seal, ...blocks]);
}

/**
 * Opens a pack and checks every seal, the chain, and every signature.
 *
 * @throws PortError `corrupt` for what is no pack or has a damaged front, `unsupported` for a newer
 * pack, `denied` for another passphrase. Damage further back does not throw: it is in `faults`.
 */
export async function readPack(bytes: Bytes, passphrase: string): Promise<Pack> {
  const { header, seal, start } = await readFront(bytes);
  const key = await passphraseKey(passphrase, unhex(header.salt), header.iterations, [
    'encrypt',
    'decrypt',
  ]);
  let at = start;
  const blocks = header.lengths.map((length) => {
    const block = bytes.subarray(at, at + length);
    at += length;
    return block.length === length ? block : undefined;
  });
  const opened = await Promise.all(
    blocks.map((block, i) => (block === undefined ? undefined : open(key, block, seal, i))),
  );
  if (opened.length > 0 && opened.every((text) => text === undefined)) {
    throw new PortError('denied', text.wrongPassphrase);
  }
  const { parts, hashes, faults } = await follow(opened, blocks);
  if (at < bytes.length) {
    faults.push({ part: parts.length, message: text.followed });
  }
  return { parts, hashes, faults };
}

/** Follows the chain through what was opened, and holds every signature against it. */
async function follow(
  opened: readonly (string | undefined)[],
  blocks: readonly (Bytes | undefined)[],
) {
  const parts: unknown[] = [];
  const hashes: (string | undefined)[] = [];
  const faults: PackFault[] = [];
  let before: string | undefined = beginning;
  for (const [part, content] of opened.entries()) {
    const fault = (message: string) => faults.push({ part, message });
    const line = content?.indexOf('\n') ?? -1;
    const hash = content?.slice(0, Math.max(line, 0));
    const json = content?.slice(line + 1);
    const read = json === undefined ? undefined : parse(json);
    if (hash === undefined || json === undefined || read === undefined) {
      fault(blocks[part] === undefined ? text.cutOff : text.damaged);
    } else if (before !== undefined && (await linked(before, json)) !== hash) {
      fault(text.unlinked);
    } else if (isSignature(read.json)) {
      const wrong = await signatureFault(read.json, before);
      if (wrong !== undefined) fault(wrong);
    }
    parts.push(read?.json);
    hashes.push(hash);
    before = hash;
  }
  return { parts, hashes, faults };
}

async function readFront(bytes: Bytes) {
  const damaged = (cause?: unknown) =>
    new PortError('corrupt', text.damagedFront, {
      cause,
    });
  if (!startsWith(bytes, magic)) {
    if (startsWith(bytes, family) && bytes[family.length] !== magic[family.length]) throw newer();
    throw new PortError('corrupt', text.none);
  }
  if (bytes.length < magic.length + 4) throw damaged();
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const end = magic.length + 4 + view.getUint32(magic.length);
  const start = end + hashLength;
  if (start > bytes.length) throw damaged();
  const seal = await sha256(bytes.slice(0, end));
  if (hex(seal) !== hex(bytes.slice(end, start))) throw damaged();
  const read = parse(new TextDecoder().decode(bytes.subarray(magic.length + 4, end)));
  const header = (read?.json ?? {}) as Partial<Header>;
  const { iterations = 0, salt = '', lengths } = header;
  const sound =
    iterations >= leastIterations &&
    iterations <= mostIterations &&
    /^[0-9a-f]{32}$/.test(salt) &&
    Array.isArray(lengths) &&
    lengths.length <= mostParts &&
    lengths.every((n) => Number.isSafeInteger(n) && n > ivLength + tagLength);
  if (!sound) throw damaged();
  return { header: { iterations, salt, lengths }, seal, start };
}

async function open(
  key: CryptoKey,
  block: Bytes,
  seal: Bytes,
  index: number,
): Promise<string | undefined> {
  try {
    const iv = block.slice(0, ivLength);
    const content = await crypto.subtle.decrypt(
      algorithm(iv, seal, index),
      key,
      block.subarray(ivLength),
    );
    return new TextDecoder('utf-8', { fatal: true }).decode(content);
  } catch {
    return undefined;
  }
}

/** The chain's hash at each of these texts; the last one is what a signature covers. */
export async function chainOf(texts: readonly string[]): Promise<readonly string[]> {
  const hashes: string[] = [];
  let before = beginning;
  for (const text of texts) {
    before = await linked(before, text);
    hashes.push(before);
  }
  return hashes;
}

const linked = async (before: string, text: string): Promise<string> =>
  hex(await sha256(encode(`${before}\n${text}`)));

const isSignature = (part: unknown): part is Signature =>
  typeof part === 'object' && part !== null && 'kind' in part && part.kind === 'signature';

/** A block opens only in its own place of its own pack. */
const algorithm = (iv: Bytes, seal: Bytes, index: number): AesGcmParams => ({
  name: 'AES-GCM',
  iv,
  additionalData: encode(JSON.stringify(['plessor-pack', 1, hex(seal), index])),
});

const encode = (text: string): Bytes => new TextEncoder().encode(text);
const sha256 = async (bytes: Bytes): Promise<Bytes> =>
  new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));

const hex = (bytes: Bytes): string =>
  [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
const unhex = (text: string): Bytes =>
  Uint8Array.from(text.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));

const startsWith = (bytes: Bytes, start: Bytes): boolean =>
  start.every((byte, i) => bytes[i] === byte);

function parse(text: string): { readonly json: unknown } | undefined {
  try {
    return { json: JSON.parse(text) };
  } catch {
    return undefined;
  }
}

function joined(pieces: readonly (Bytes | ArrayBuffer)[]): Bytes {
  const arrays = pieces.map((piece) => new Uint8Array(piece));
  const whole = new Uint8Array(arrays.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const array of arrays) {
    whole.set(array, at);
    at += array.length;
  }
  return whole;
}

import fc from 'fast-check';
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { PortError } from '../../src/ports.ts';
import {
  type Bytes,
  chainOf,
  fingerprint,
  type Identity,
  makeIdentity,
  type Pack,
  readPack,
  sign,
  writePack,
} from '../../src/store/index.ts';
import { firstOnes, nth } from './events.ts';

const passphrase = 'tendon hammer';
const parts = [
  { kind: 'heading', exam: 'a' },
  ...firstOnes(4).map((event) => ({ kind: 'event', event })),
];

const textsOf = (all: readonly unknown[]) => all.map((part) => JSON.stringify(part));

/** Parts with a signature over all of them. */
async function signed(all: readonly unknown[], identity: Identity, name: string) {
  const hash = (await chainOf(textsOf(all))).at(-1) ?? '';
  return [...all, await sign(hash, identity, name, '2026-11-25T12:00:00Z')];
}

const codeOf = async (promise: Promise<unknown>): Promise<string> => {
  try {
    await promise;
  } catch (error) {
    if (error instanceof PortError) return error.code;
    throw error;
  }
  return 'nothing failed';
};

describe('a review pack', () => {
  test('opens on another device with its passphrase alone, whole and in order', async () => {
    const pack = await readPack(await writePack(parts, passphrase), passphrase);
    expect(pack.parts).toEqual(parts);
    expect(pack.faults).toEqual([]);
  });

  test('shows nothing of the exam to whoever finds it', async () => {
    const bytes = await writePack(parts, passphrase);
    expect(new TextDecoder('latin1').decode(bytes)).not.toMatch(/patellar|heading|left/);
  });

  test('stays shut for another passphrase', async () => {
    expect(await codeOf(readPack(await writePack(parts, passphrase), 'tuning fork'))).toBe(
      'denied',
    );
  });

  test('of a newer program, and what is no pack, is told apart', async () => {
    const bytes = await writePack(parts, passphrase);
    const later = bytes.slice();
    later['PLESSOR-PACK '.length] = '2'.charCodeAt(0);
    expect(await codeOf(readPack(later, passphrase))).toBe('unsupported');
    expect(await codeOf(readPack(new Uint8Array(0), passphrase))).toBe('corrupt');
    expect(await codeOf(readPack(new TextEncoder().encode('{}'), passphrase))).toBe('corrupt');
  });
});

describe('a signed pack', () => {
  let trainee: Identity;
  let supervisor: Identity;
  let whole: readonly unknown[];
  beforeAll(async () => {
    trainee = await makeIdentity();
    supervisor = await makeIdentity();
    const sent = await signed(parts, trainee, 'Trainee');
    const verdict = { kind: 'verdict', by: 'Supervisor', entry: 1, verdict: 'agree' };
    whole = await signed([...sent, verdict], supervisor, 'Supervisor');
  });

  test('holds both signatures, each over all before it', async () => {
    const pack = await readPack(await writePack(whole, passphrase), passphrase);
    expect(pack.faults).toEqual([]);
    expect(pack.parts).toEqual(whole);
  });

  test('repacked with a changed finding no longer fits its signatures', async () => {
    const changed = whole.map((part, i) => (i === 3 ? { kind: 'event', event: nth(9) } : part));
    const pack = await readPack(await writePack(changed, passphrase), passphrase);
    expect(pack.faults.map(({ part }) => part)).toEqual([5, 7]);
  });

  test('repacked with a finding left out or put in no longer fits', async () => {
    for (const changed of [whole.toSpliced(2, 1), whole.toSpliced(2, 0, { kind: 'event' })]) {
      const pack = await readPack(await writePack(changed, passphrase), passphrase);
      expect(pack.faults.length).toBe(2);
    }
  });

  test('repacked with a verdict changed breaks the supervisor’s signature alone', async () => {
    const verdict = { kind: 'verdict', by: 'Supervisor', entry: 1, verdict: 'query' };
    const changed = whole.map((part, i) => (i === 6 ? verdict : part));
    const pack = await readPack(await writePack(changed, passphrase), passphrase);
    expect(pack.faults.map(({ part }) => part)).toEqual([7]);
  });

  test('signed anew by a stranger has another fingerprint', async () => {
    const stranger = await makeIdentity();
    expect(await fingerprint(stranger.publicKey)).not.toBe(await fingerprint(trainee.publicKey));
    expect(await fingerprint(trainee.publicKey)).toMatch(/^([0-9a-f]{4} ){11}[0-9a-f]{4}$/);
  });

  test('does not take a signature under another name or time', async () => {
    const last = whole.at(-1) as Readonly<Record<string, unknown>>;
    for (const change of [{ name: 'Somebody' }, { at: '2020-01-01T00:00:00Z' }]) {
      const changed = [...whole.slice(0, -1), { ...last, ...change }];
      const pack = await readPack(await writePack(changed, passphrase), passphrase);
      expect(pack.faults.map(({ part }) => part)).toEqual([7]);
    }
  });
});

describe('a pack that was damaged on its way', () => {
  let bytes: Bytes;
  let places: readonly number[];

  // The passphrase's key is derived once: deriving it takes long on purpose, and thousands are opened.
  beforeEach(async () => {
    bytes = await writePack(await signed(parts, await makeIdentity(), 'Trainee'), passphrase);
    const derive = vi.spyOn(crypto.subtle, 'deriveKey');
    const pack = await readPack(bytes, passphrase);
    const key = (await derive.mock.results[0]?.value) as CryptoKey;
    derive.mockResolvedValue(key);
    places = blockStarts(bytes, pack.parts.length);
  });
  afterEach(() => {
    vi.restoreAllMocks();
  });

  /** Where each block begins, and the end of the last, read from the header as it is described. */
  function blockStarts(whole: Bytes, count: number): readonly number[] {
    const front = 'PLESSOR-PACK 1\n'.length;
    const end = front + 4 + new DataView(whole.buffer).getUint32(front);
    const { lengths } = JSON.parse(new TextDecoder().decode(whole.subarray(front + 4, end)));
    expect(lengths).toHaveLength(count);
    let at = end + 32;
    return [at, ...lengths.map((length: number) => (at += length))];
  }

  const outcome = async (damaged: Bytes): Promise<Pack | string> => {
    try {
      return await readPack(damaged, passphrase);
    } catch (error) {
      if (error instanceof PortError) return error.code;
      throw error;
    }
  };

  test('by any single byte is detected, and says in which part', async () => {
    const [first = 0] = places;
    for (let at = 0; at < bytes.length; at++) {
      const damaged = bytes.slice();
      damaged[at] = (damaged[at] ?? 0) ^ (1 << (at % 8));
      const read = await outcome(damaged);
      if (at < first) {
        expect(['corrupt', 'unsupported']).toContain(read);
      } else {
        if (typeof read === 'string') throw new Error(`byte ${at} hid the whole pack: ${read}`);
        const part = places.findLastIndex((start) => start <= at);
        expect(read.faults[0]).toEqual({ part, message: 'is damaged' });
        expect(read.parts.filter((p) => p === undefined)).toHaveLength(1);
      }
    }
  }, 120_000);

  test('by being cut off anywhere is detected', async () => {
    for (let length = 0; length < bytes.length; length += 7) {
      const read = await outcome(bytes.slice(0, length));
      if (typeof read !== 'string') expect(read.faults.length).toBeGreaterThan(0);
    }
  }, 120_000);

  test('by something put behind it is detected', async () => {
    const longer = new Uint8Array(bytes.length + 1);
    longer.set(bytes);
    expect(await outcome(longer)).toMatchObject({ faults: [{ part: 6 }] });
  });

  test('by two parts changing places is detected', async () => {
    const [, one = 0, two = 0, three = 0] = places;
    const swapped = bytes.slice();
    swapped.set(bytes.subarray(two, three), one);
    swapped.set(bytes.subarray(one, two), one + three - two);
    const read = await outcome(swapped);
    if (typeof read === 'string') throw new Error(read);
    expect(read.faults[0]?.part).toBe(1);
  });

  test('by a hostile hand in any way never crashes and never passes', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.nat(bytes.length - 1),
        fc.uint8Array({ minLength: 0, maxLength: 40 }),
        fc.nat(40),
        async (at, put, gone) => {
          const mangled = Uint8Array.from([
            ...bytes.subarray(0, at),
            ...put,
            ...bytes.subarray(at + gone),
          ]);
          fc.pre(mangled.length !== bytes.length || mangled.some((b, i) => b !== bytes[i]));
          const read = await outcome(mangled);
          if (typeof read !== 'string') expect(read.faults.length).toBeGreaterThan(0);
        },
      ),
      { numRuns: 1000 },
    );
  }, 120_000);
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readWav, writeWav } from '../../src/audio/wav.ts';
import { PortError } from '../../src/ports.ts';

async function* piecewise(bytes: Uint8Array, size = 1000): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += size) yield bytes.subarray(at, at + size);
}

async function read(bytes: Uint8Array, size?: number): Promise<Float32Array> {
  const all: number[] = [];
  for await (const sound of readWav(piecewise(bytes, size))) for (const x of sound) all.push(x);
  return Float32Array.from(all);
}

interface Form {
  readonly bits: number;
  readonly float?: boolean;
  readonly channels?: number;
  readonly rate?: number;
  readonly extensible?: boolean;
}

/** A WAV file written byte by byte from the Microsoft descriptions (1991, 1994, 2001). */
function wavOf(samples: readonly number[], form: Form): Uint8Array {
  const { bits, float = false, channels = 1, rate = 16_000, extensible = false } = form;
  const width = bits / 8;
  const fmt = extensible ? 40 : 16;
  const view = new DataView(new ArrayBuffer(12 + 8 + fmt + 8 + 3 + 1 + 8 + samples.length * width));
  let at = 0;
  const text = (s: string) => {
    for (const letter of s) view.setUint8(at++, letter.charCodeAt(0));
  };
  const u16 = (x: number) => {
    view.setUint16(at, x, true);
    at += 2;
  };
  const u32 = (x: number) => {
    view.setUint32(at, x, true);
    at += 4;
  };
  text('RIFF');
  u32(view.byteLength - 8);
  text('WAVE');
  // A chunk of odd length, which is padded, before the others.
  text('note');
  u32(3);
  text('abc');
  at++;
  text('fmt ');
  u32(fmt);
  const code = float ? 3 : 1;
  u16(extensible ? 0xfffe : code);
  u16(channels);
  u32(rate);
  u32(rate * channels * width);
  u16(channels * width);
  u16(bits);
  if (extensible) {
    u16(22);
    u16(bits);
    u32(0);
    u16(code);
    at += 14;
  }
  text('data');
  u32(samples.length * width);
  for (const x of samples) {
    if (float && bits === 32) view.setFloat32(at, x, true);
    else if (float) view.setFloat64(at, x, true);
    else if (bits === 8) view.setUint8(at, Math.round(x * 127) + 128);
    else if (bits === 16) view.setInt16(at, Math.round(x * 0x7fff), true);
    else if (bits === 24) {
      const n = Math.round(x * 0x7f_ffff);
      view.setUint16(at, n & 0xffff, true);
      view.setInt8(at + 2, n >> 16);
    } else view.setInt32(at, Math.round(x * 0x7fff_ffff), true);
    at += width;
  }
  return new Uint8Array(view.buffer);
}

const wave = Array.from({ length: 2000 }, (_, i) => 0.5 * Math.sin(i / 7));

describe('a WAV file is heard in every form', () => {
  test.each<Form>([
    { bits: 8 },
    { bits: 16 },
    { bits: 24 },
    { bits: 32 },
    { bits: 32, float: true },
    { bits: 64, float: true },
    { bits: 16, extensible: true },
    { bits: 24, extensible: true },
    { bits: 32, float: true, extensible: true },
  ])('%o', async (form) => {
    const sound = await read(wavOf(wave, form));
    expect(sound.length).toBe(wave.length);
    const off = Math.max(...wave.map((x, i) => Math.abs(x - (sound[i] ?? 0))));
    expect(off).toBeLessThan(1.5 / 2 ** (Math.min(form.bits, 24) - 1));
  });

  test('two channels are mixed to one', async () => {
    const both = wave.flatMap((x) => [x, 0]);
    const sound = await read(wavOf(both, { bits: 16, channels: 2 }));
    expect(sound.length).toBe(wave.length);
    expect(sound[11]).toBeCloseTo((wave[11] ?? 0) / 2, 3);
  });

  test.each([8000, 11_025, 22_050, 44_100, 48_000, 96_000])('%d Hz', async (rate) => {
    const tone = Array.from(
      { length: rate },
      (_, i) => 0.5 * Math.sin((2 * Math.PI * 440 * i) / rate),
    );
    const sound = await read(wavOf(tone, { bits: 16, rate }));
    expect(sound.length).toBeGreaterThan(15_990);
    expect(sound.length).toBeLessThanOrEqual(16_010);
    for (let i = 2000; i < 14_000; i += 37) {
      expect(sound[i]).toBeCloseTo(0.5 * Math.sin((2 * Math.PI * 440 * i) / 16_000), 2);
    }
  });

  test('however the bytes come, the sound is the same', async () => {
    const bytes = wavOf(wave, { bits: 24, channels: 2, rate: 44_100 });
    const whole = await read(bytes, bytes.length);
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 500 }), async (size) => {
        const sound = await read(bytes, size);
        expect(sound.length).toBe(whole.length);
        for (const [i, x] of sound.entries()) expect(x).toBeCloseTo(whole[i] ?? 9, 6);
      }),
      { numRuns: 10 },
    );
  });
});

test('what is written is read again', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 300 }),
      async (samples) => {
        const sound = await read(writeWav(Float32Array.from(samples)));
        expect(sound.length).toBe(samples.length);
        for (const [i, x] of samples.entries()) {
          expect(Math.abs((sound[i] ?? 9) - x)).toBeLessThan(1 / 16_000);
        }
      },
    ),
  );
});

describe('a bad file is told in one line', () => {
  const good = wavOf(wave, { bits: 16 });
  const bytesOf = (text: string) => new TextEncoder().encode(text);
  const changed = (at: number, ...bytes: readonly number[]) => {
    const copy = good.slice();
    copy.set(bytes, at);
    return copy;
  };
  test.each<[string, Uint8Array, PortError['code'], RegExp]>([
    ['empty', new Uint8Array(0), 'corrupt', /empty/],
    ['a few bytes', good.subarray(0, 9), 'corrupt', /cut short or not a WAV/],
    ['a page of HTML', bytesOf('<!doctype html><p>Not found'), 'corrupt', /not a WAV/],
    ['an MP3', bytesOf('ID3\u0004abcdefghijklmnopqrs'), 'corrupt', /not a WAV/],
    ['cut in its header', good.subarray(0, 30), 'corrupt', /cut short/],
    ['cut in its sound', good.subarray(0, 1000), 'corrupt', /cut short: .* of /],
    ['without sound', wavOf([], { bits: 16 }), 'corrupt', /no sound/],
    ['compressed (A-law)', changed(32, 6, 0), 'unsupported', /encoding 6/],
    ['12-bit', changed(46, 12, 0), 'unsupported', /12-bit/],
    ['at 1 Hz', changed(36, 1, 0, 0, 0), 'unsupported', /1 Hz/],
    ['of no channels', changed(34, 0, 0), 'unsupported', /0 channels/],
  ])('%s', async (_what, bytes, code, line) => {
    const why = await read(bytes).catch((error: unknown) => error);
    expect(why).toBeInstanceOf(PortError);
    expect(why).toMatchObject({ code, message: expect.stringMatching(line) });
    expect((why as PortError).message).not.toContain('\n');
  });

  test('no bytes whatever make it fail otherwise', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uint8Array({ max: 80 }),
        fc.nat({ max: good.length - 1 }),
        async (noise, at) => {
          const bytes = good.slice();
          bytes.set(noise.subarray(0, good.length - at), at < 60 ? at : at % 60);
          const why = await read(bytes).then(
            () => undefined,
            (error: unknown) => error,
          );
          expect(why === undefined || why instanceof PortError).toBe(true);
        },
      ),
      { numRuns: 300 },
    );
  });
});

test('an hour is read in pieces', async () => {
  const second = writeWav(new Float32Array(16_000).fill(0.1));
  const head = second.slice(0, 44);
  new DataView(head.buffer).setUint32(40, 3600 * 32_000, true);
  async function* hour() {
    yield head;
    for (let i = 0; i < 3600; i++) yield second.subarray(44);
  }
  let samples = 0;
  let longest = 0;
  for await (const piece of readWav(hour())) {
    samples += piece.length;
    longest = Math.max(longest, piece.length);
  }
  expect(samples).toBe(3600 * 16_000);
  expect(longest).toBeLessThanOrEqual(16_000);
});

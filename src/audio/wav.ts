import { PortError, type Sound, soundRate } from '../ports.ts';
import { audioMessages } from './messages.ts';
import { createResampler } from './resample.ts';

/** How samples are laid out in a WAV file. */
export interface WavForm {
  readonly rate: number;
  readonly channels: number;
  readonly bits: 8 | 16 | 24 | 32 | 64;
  readonly float: boolean;
  /** Bytes of sound that the header promises; absent where a stream was written. */
  readonly bytes: number | undefined;
}

const { wav: text } = audioMessages;
const corrupt = (message: string): PortError => new PortError('corrupt', message);

/**
 * Sound of a WAV file as it is read, at 16 kHz, channels mixed to one. Forms: PCM of 8 to 32 bits
 * and float, also as WAVE_FORMAT_EXTENSIBLE (Microsoft, 2001).
 *
 * @param source the file's bytes in order, in pieces of any size
 * @throws PortError `corrupt` for what is no WAV or is cut short, `unsupported` for other encodings
 */
export async function* readWav(source: AsyncIterable<Uint8Array>): AsyncGenerator<Sound> {
  const pieces = source[Symbol.asyncIterator]();
  let bytes: Uint8Array = new Uint8Array(0);
  const more = async (): Promise<boolean> => {
    const { value, done } = await pieces.next();
    if (done === true) return false;
    bytes = joined(bytes, value);
    return true;
  };
  let head = parseHeader(bytes);
  while (head === 'more') {
    if (!(await more())) {
      throw corrupt(bytes.length === 0 ? text.empty : text.noSound);
    }
    head = parseHeader(bytes);
  }
  const { form, start } = head;
  const resampler = createResampler(form.rate);
  const frame = form.channels * (form.bits / 8);
  let left = form.bytes ?? Number.POSITIVE_INFINITY;
  let read = 0;
  bytes = bytes.subarray(start);
  for (;;) {
    const usable = Math.min(bytes.length, left);
    const whole = usable - (usable % frame);
    if (whole > 0) {
      yield resampler.push(samplesOf(bytes.subarray(0, whole), form));
      bytes = bytes.subarray(whole);
      left -= whole;
      read += whole;
    }
    if (left < frame) break;
    if (!(await more())) {
      if (form.bytes !== undefined) {
        const had = seconds(read, frame, form.rate);
        const promised = seconds(form.bytes, frame, form.rate);
        throw corrupt(text.cutShort(had, promised));
      }
      break;
    }
  }
  yield resampler.flush();
}

const seconds = (bytes: number, frame: number, rate: number): string =>
  text.seconds((bytes / frame / rate).toFixed(1));

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  if (a.length === 0) return b;
  const both = new Uint8Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

/** Headers longer than this hold no sound of ours. */
const longestHeader = 1 << 20;

/** Where the sound begins and how it is laid out, or that more bytes are needed to tell. */
function parseHeader(
  bytes: Uint8Array,
): { readonly form: WavForm; readonly start: number } | 'more' {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const name = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length < 12) return 'more';
  if (name(0) !== 'RIFF' || name(8) !== 'WAVE') {
    throw corrupt(text.other);
  }
  let form: Omit<WavForm, 'bytes'> | undefined;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const size = view.getUint32(at + 4, true);
    if (name(at) === 'data') {
      if (form === undefined) throw corrupt(text.noForm);
      if (size === 0) throw corrupt(text.silent);
      // Programs that write a stream put the largest number where they could not know the size.
      const bytes = size >= 0xffff_ff00 ? undefined : size;
      return { form: { ...form, bytes }, start: at + 8 };
    }
    if (name(at) === 'fmt ') {
      if (at + 8 + size > bytes.length) return 'more';
      form = parseForm(view, at + 8, size);
    }
    at += 8 + size + (size % 2);
  }
  if (bytes.length > longestHeader) throw corrupt(text.misplaced);
  return 'more';
}

function parseForm(view: DataView, at: number, size: number): Omit<WavForm, 'bytes'> {
  if (size < 16) throw corrupt(text.broken);
  const extensible = 0xfffe;
  let code = view.getUint16(at, true);
  const channels = view.getUint16(at + 2, true);
  const rate = view.getUint32(at + 4, true);
  const bits = view.getUint16(at + 14, true);
  if (code === extensible && size >= 26) code = view.getUint16(at + 24, true);
  const unsupported = (what: string): PortError =>
    new PortError('unsupported', text.unsupported(what));
  if (code !== 1 && code !== 3) throw unsupported(text.encoding(code));
  if (channels < 1 || channels > 32) throw unsupported(text.channels(channels));
  if (rate < 4000 || rate > 400_000) throw unsupported(text.rate(rate));
  const known = code === 1 ? [8, 16, 24, 32] : [32, 64];
  if (!known.includes(bits)) throw unsupported(text.bits(bits));
  return { rate, channels, bits: bits as WavForm['bits'], float: code === 3 };
}

function samplesOf(bytes: Uint8Array, { channels, bits, float }: WavForm): Float32Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const width = bits / 8;
  const sample = (at: number): number => {
    switch (bits) {
      case 8:
        return (view.getUint8(at) - 128) / 128;
      case 16:
        return view.getInt16(at, true) / 0x8000;
      case 24:
        return ((view.getInt8(at + 2) << 16) | view.getUint16(at, true)) / 0x80_0000;
      case 32:
        return float ? view.getFloat32(at, true) : view.getInt32(at, true) / 0x8000_0000;
      case 64:
        return view.getFloat64(at, true);
      default:
        return bits satisfies never;
    }
  };
  const mono = new Float32Array(bytes.length / width / channels);
  for (let i = 0; i < mono.length; i++) {
    let sum = 0;
    for (let c = 0; c < channels; c++) sum += sample((i * channels + c) * width);
    const mean = sum / channels;
    mono[i] = Number.isFinite(mean) ? Math.max(-1, Math.min(1, mean)) : 0;
  }
  return mono;
}

/** A WAV file of 16-bit PCM, mono. */
export function writeWav(sound: Float32Array, rate: number = soundRate): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(44 + 2 * sound.length);
  const view = new DataView(bytes.buffer);
  const put = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  };
  put(0, 'RIFF');
  view.setUint32(4, 36 + 2 * sound.length, true);
  put(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, 2 * rate, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  put(36, 'data');
  view.setUint32(40, 2 * sound.length, true);
  for (const [i, sample] of sound.entries()) {
    view.setInt16(44 + 2 * i, Math.round(Math.max(-1, Math.min(1, sample)) * 0x7fff), true);
  }
  return bytes;
}

import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';

/** The trained numbers by name, as plain numbers, rows first. */
export interface Weights {
  of(name: string): Float32Array;
}

interface Entry {
  readonly at: number;
  readonly shape: readonly number[];
  readonly type: 'int8' | 'float32';
  readonly scale?: string;
}

/**
 * Reads the file of weights (its form: `training/export.py`).
 * @throws PortError `corrupt` when it is no such file
 */
export function readWeights(file: Uint8Array): Weights {
  const corrupt = (cause?: unknown): PortError =>
    new PortError('corrupt', engineMessages.model.damagedWeights, {
      cause,
    });
  let body: ArrayBuffer;
  let entries: Readonly<Record<string, Entry>>;
  try {
    const own = file.slice();
    const length = new DataView(own.buffer).getUint32(0, true);
    const head: unknown = JSON.parse(new TextDecoder().decode(own.subarray(4, 4 + length)));
    entries = (head as { readonly arrays: Readonly<Record<string, Entry>> }).arrays;
    body = own.buffer.slice(4 + length);
  } catch (cause) {
    throw corrupt(cause);
  }
  const of = (name: string): Float32Array => {
    const entry = entries[name];
    if (entry === undefined) throw corrupt();
    const size = entry.shape.reduce((product, n) => product * n, 1);
    if (entry.at + size * (entry.type === 'int8' ? 1 : 4) > body.byteLength) throw corrupt();
    if (entry.type === 'float32') return new Float32Array(body, entry.at, size);
    const bytes = new Int8Array(body, entry.at, size);
    const scale = of(entry.scale ?? '');
    const row = size / scale.length;
    // A loop takes a twentieth of the time of `from` with a function.
    const values = new Float32Array(size);
    for (let i = 0; i < size; i++) values[i] = (bytes[i] ?? 0) * (scale[Math.floor(i / row)] ?? 0);
    return values;
  };
  return { of };
}

/** Which file of weights this is: its length and a sum over its bytes (FNV-1a, 32 bits). */
export function markOf(file: Uint8Array): string {
  let sum = 0x811c9dc5;
  for (const byte of file) sum = Math.imul(sum ^ byte, 0x01000193) >>> 0;
  return `${file.length}-${sum.toString(16)}`;
}

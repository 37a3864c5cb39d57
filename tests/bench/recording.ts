import { readFile } from 'node:fs/promises';
import { readWav } from '../../src/audio/wav.ts';
import { joined } from '../../src/ports.ts';

/** A WAV file as sound. */
export async function recording(file: string): Promise<Float32Array> {
  const bytes = new Uint8Array(await readFile(file));
  const parts: Float32Array[] = [];
  for await (const part of readWav(once(bytes))) parts.push(part);
  return joined(parts);
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}

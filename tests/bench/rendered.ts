import { createHash } from 'node:crypto';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Rendering, Script } from '../../demo-audio-scripts/index.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { type FliteVoice, pronunciations } from '../../src/voice/index.ts';

const folder = join(tmpdir(), 'plessor-bench');

/** A demo exam as sound, kept between runs: rendering takes longer than hearing. */
export async function kept(script: Script, voice: FliteVoice): Promise<Rendering> {
  const name = createHash('sha256')
    .update(JSON.stringify([script, voice, pronunciations]))
    .digest('hex')
    .slice(0, 24);
  const sound = join(folder, `${name}.f32`);
  const placed = join(folder, `${name}.json`);
  try {
    const bytes = await readFile(sound);
    const samples = new Float32Array(bytes.byteLength / 4);
    new Uint8Array(samples.buffer).set(bytes);
    return { sound: samples, placed: JSON.parse(await readFile(placed, 'utf8')) };
  } catch {
    const rendering = await renderedExam(script, voice);
    await mkdir(folder, { recursive: true });
    await writeFile(placed, JSON.stringify(rendering.placed));
    await writeFile(`${sound}.${process.pid}`, new Uint8Array(rendering.sound.buffer));
    await rename(`${sound}.${process.pid}`, sound);
    return rendering;
  }
}

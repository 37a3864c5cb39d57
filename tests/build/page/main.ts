import {
  audioOutput,
  firstThatSpeaks,
  fliteInWorker,
  type Output,
  renderedVoice,
  silentVoice,
  systemVoice,
} from '../../../src/voice/index.ts';

/** What the test asks of the page, and what the page did. */
declare global {
  var speak: (text: string) => Promise<Spoken>;
  var stopEarly: (text: string, afterMs: number) => Promise<number>;
}
export interface Spoken {
  readonly by: string;
  readonly localSystemVoice: boolean;
  /** From the call until sound was handed to the audio device, and until the last of it had left. */
  readonly startedMs: number;
  readonly endedMs: number;
  readonly soundMs: number;
}

const context = new AudioContext();
const device = audioOutput(context);
let handedOver: { readonly at: number; readonly soundMs: number }[] = [];
const output: Output = {
  play(speech, signal) {
    const soundMs = (1000 * speech.samples.length) / speech.sampleRate;
    handedOver.push({ at: performance.now(), soundMs });
    return device.play(speech, signal);
  },
};
const embedded = renderedVoice(fliteInWorker(), { voice: 'slt' }, output);

globalThis.speak = async (text) => {
  const system = await systemVoice();
  const voice = firstThatSpeaks(
    system === undefined ? [embedded, silentVoice()] : [system, embedded, silentVoice()],
  );
  handedOver = [];
  const asked = performance.now();
  await voice.speak(text);
  return {
    by: voice.id,
    localSystemVoice: system !== undefined,
    startedMs: (handedOver[0]?.at ?? Number.NaN) - asked,
    endedMs: performance.now() - asked,
    soundMs: handedOver.reduce((sum, { soundMs }) => sum + soundMs, 0),
  };
};

globalThis.stopEarly = async (text, afterMs) => {
  const stop = new AbortController();
  setTimeout(() => stop.abort(), afterMs);
  const asked = performance.now();
  await embedded.speak(text, stop.signal);
  return performance.now() - asked - afterMs;
};

import { type Sound, soundRate } from '../src/ports.ts';
import type { Said, Script } from './script.ts';

/** Where an utterance lies in the rendered sound. */
export interface Placed {
  readonly said: Said;
  readonly startMs: number;
  readonly endMs: number;
}

export interface Rendering {
  /** The whole exam. */
  readonly sound: Sound;
  readonly placed: readonly Placed[];
}

/** Silence before the first word, and at least so much between two utterances and after the last. */
const leadMs = 500;
const leastPauseMs = 1100;

/** Room noise about 70 dB below full scale: a quiet room; digital silence is in no recording. */
const roomNoise = 0.0003;

/**
 * An exam as one sound: utterances with pauses, over faint room noise. The same script and voice
 * give the same samples.
 *
 * @param speak the voice; gives sound at 16 kHz
 * @param progress told of each utterance before it is rendered
 */
export async function renderScript(
  script: Script,
  speak: (text: string) => Promise<Sound>,
  progress: (said: Said) => void = () => undefined,
): Promise<Rendering> {
  const parts: { readonly at: number; readonly sound: Sound }[] = [];
  const placed: Placed[] = [];
  const ms = (samples: number): number => Math.round((samples / soundRate) * 1000);
  const samples = (duration: number): number => Math.round((duration / 1000) * soundRate);
  let end = 0;
  let pause = leadMs;
  for (const line of script.lines) {
    if (line.is === 'pause') {
      pause = Math.max(pause, line.ms);
      continue;
    }
    progress(line);
    const sound = await speak(line.words);
    const at = end + samples(pause);
    end = at + sound.length;
    parts.push({ at, sound });
    placed.push({ said: line, startMs: ms(at), endMs: ms(end) });
    pause = leastPauseMs;
  }
  const whole = hush(end + samples(pause));
  for (const { at, sound } of parts) {
    for (let i = 0; i < sound.length; i++) whole[at + i] = (whole[at + i] ?? 0) + (sound[i] ?? 0);
  }
  return { sound: whole, placed };
}

/** Room noise from a fixed seed; the sum of uniform numbers is near enough to a normal one. */
function hush(length: number): Float32Array<ArrayBuffer> {
  const noise = new Float32Array(length);
  let state = 0x2545f491;
  const uniform = (): number => {
    // Xorshift of 32 bits (Marsaglia, 2003).
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 31 - 1;
  };
  for (let i = 0; i < length; i++) noise[i] = roomNoise * (uniform() + uniform() + uniform());
  return noise;
}

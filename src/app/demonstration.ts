import { type Script, scripts } from '../../demo-audio-scripts/index.ts';
import { type Sound, soundRate } from '../ports.ts';
import type { Flite, Output } from '../voice/index.ts';

/** Sound before and after a sentence, so that its end is heard as an end, in samples. */
const hushLength = soundRate;
const piece = soundRate / 10;
/** Faint noise: digital silence is in no room. */
const hushLevel = 0.0003;

export interface DemonstrationParts {
  readonly flite: Flite;
  readonly output: Output;
  /** Resolves when nothing is being said back. */
  readonly quiet: () => Promise<void>;
}

/** The invented exam that the page plays: the first of those that come with it. @throws where none does */
export function demoScript(): Script {
  const [first] = scripts();
  if (first === undefined) throw new RangeError('no demo exam comes with this page');
  return first;
}

/**
 * Plays an invented exam as a conversation: each sentence is spoken aloud by another voice, heard by
 * the same ear that hears the examiner, and the next waits until the read-back is over.
 */
export async function* demonstrate(
  script: Script,
  { flite, output, quiet }: DemonstrationParts,
  signal: AbortSignal,
): AsyncIterable<Sound> {
  for (const line of script.lines) {
    if (line.is === 'pause') continue;
    const speech = await flite.render(line.words, { voice: 'rms' });
    if (signal.aborted) return;
    const over = output.play(speech, signal);
    yield* atPace(speech.samples, signal);
    yield* atPace(hush(), signal);
    await over.catch(() => undefined);
    await quiet();
    if (signal.aborted) return;
  }
}

/** Sound as fast as it is heard. */
async function* atPace(sound: Sound, signal: AbortSignal): AsyncIterable<Sound> {
  const start = performance.now();
  for (let at = 0; at < sound.length && !signal.aborted; at += piece) {
    yield sound.subarray(at, at + piece);
    const due = start + ((at + piece) / soundRate) * 1000;
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, due - performance.now())));
  }
}

const hush = (): Sound =>
  Float32Array.from({ length: hushLength }, () => (Math.random() * 2 - 1) * hushLevel);

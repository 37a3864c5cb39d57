/** Short sounds, each always beside a text: two notes up, two down, one alone. */
export const earcons = {
  /** The ear is open. */
  listening: [660, 880],
  /** Something waits for an answer. */
  question: [880, 880],
  /** A finding was recorded, and is shown instead of spoken. */
  recorded: [990],
  /** The ear is shut, or the microphone lost. */
  shut: [880, 587],
} as const satisfies Readonly<Record<string, readonly number[]>>;
export type Earcon = keyof typeof earcons;

/** Length of a note in seconds; two of them stay well under a syllable. */
const noteS = 0.06;
const loudness = 0.08;

/** Plays an earcon; resolves when it has left. Does nothing where sound is held back. */
export function playEarcon(context: AudioContext, name: Earcon, volume: number): Promise<void> {
  if (context.state !== 'running' || volume === 0) return Promise.resolve();
  const start = context.currentTime;
  const notes: readonly number[] = earcons[name];
  for (const [i, frequency] of notes.entries()) {
    const at = start + i * noteS;
    const tone = new OscillatorNode(context, { frequency, type: 'sine' });
    const gain = new GainNode(context, { gain: 0 });
    // A soft edge: a tone that is cut off clicks.
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(loudness * volume, at + noteS / 4);
    gain.gain.linearRampToValueAtTime(0, at + noteS);
    tone.connect(gain).connect(context.destination);
    tone.start(at);
    tone.stop(at + noteS);
  }
  return new Promise((resolve) => setTimeout(resolve, notes.length * noteS * 1000));
}

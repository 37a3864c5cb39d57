/** Settings of hearing, each with how it was found (see ../README.md). */
export interface Tuning {
  /** Handed to the engine's three searches as they are. */
  readonly grammar: EngineSettings;
  readonly again: EngineSettings;
  /** Height of the noise added to all sound, peak to peak; 1 is full scale. */
  readonly dither: number;
  /** How much what is usually said counts against the sound. */
  readonly languageWeight: number;
  /** What it costs to take an utterance for any speech, in nats. */
  readonly anySpeechCost: number;
  /** Until so much was heard of a voice in a room, in frames of 10 ms, they are strange. */
  readonly strangeFrames: number;
}

type EngineSettings = Readonly<Record<string, string | number | boolean>>;

const sound = { samprate: 16_000 } as const;
const beams = { beam: 1e-80, wbeam: 1e-60, pbeam: 1e-80 } as const;

export const tuning: Tuning = {
  // The engine's own beams lose whole utterances in mild noise. Where many hypotheses are alive it
  // narrows these for a while: at 1,000 whole utterances of one clean voice were lost, at 2,000 none.
  grammar: { ...sound, ...beams, maxhmmpf: 2000 },
  again: { ...sound, ...beams },
  dither: 2e-4,
  languageWeight: 3,
  anySpeechCost: 30,
  strangeFrames: 300,
};

/** Settings of hearing, each with how it was found (see ../README.md). */
export interface Tuning {
  /** Handed to the engine as they are. */
  readonly engine: Readonly<Record<string, string | number | boolean>>;
  /** Width of the engine's narrowest main beam, in natural log. */
  readonly beamNats: number;
  /** Natural log of the price of a silence between two words. */
  readonly silenceWeight: number;
  /** Natural log for each phone of the any-speech loop. */
  readonly phoneWeight: number;
  /** Mean of the cepstra that is taken off at the start of each utterance, as the engine takes it. */
  readonly cepstralMean: string;
  /** Height of the noise added to all sound, peak to peak; 1 is full scale. */
  readonly dither: number;
}

export const tuning: Tuning = {
  // The engine's own beams lose whole utterances in mild noise.
  engine: { samprate: 16_000, beam: 1e-80, wbeam: 1e-60, pbeam: 1e-80 },
  beamNats: -Math.log(1e-80),
  silenceWeight: Math.log(0.005),
  phoneWeight: 0,
  cepstralMean: '40,3,-1',
  dither: 2 / 32_768,
};

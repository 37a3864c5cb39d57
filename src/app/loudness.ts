import { loudness } from '../audio/level.ts';
import type { Sound } from '../ports.ts';

/** The quietest and the loudest that a meter shows, in dB below full scale. */
const quietest = -60;
const loudest = -12;
/** Below this a microphone gives nothing: an ordinary room is louder. */
const nothing = -70;
/** How long nothing must last before it is told, in seconds of sound. */
const patience = 6;

export interface Loudness {
  /** Takes sound and gives how loud it is, 0 to 1. */
  take(sound: Sound): number;
  /** Nothing has come for so long that something is wrong with the microphone. */
  readonly deaf: boolean;
}

/** How loud sound is, on a scale of decibels, and whether there is any. */
export function createLoudness(rate: number): Loudness {
  let silent = 0;
  return {
    take(sound) {
      const level = 20 * Math.log10(loudness(sound));
      silent = level < nothing ? silent + sound.length / rate : 0;
      return Math.min(1, Math.max(0, (level - quietest) / (loudest - quietest)));
    },
    get deaf() {
      return silent >= patience;
    },
  };
}

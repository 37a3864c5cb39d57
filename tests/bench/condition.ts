import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { scripts } from '../../demo-audio-scripts/index.ts';
import { soundRate } from '../../src/ports.ts';
import { fliteVoices } from '../../src/voice/index.ts';
import { recording } from './recording.ts';
import { kept } from './rendered.ts';
import { heardThrough, impulseResponse } from './room.ts';

/** What a room does to a voice. `turn` differs from exam to exam, so that no two meet the same noise. */
export type Condition = (sound: Float32Array, turn: number) => Promise<Float32Array>;

/** A ward so many metres from the mouth, its sound falling by 60 dB in so many seconds. */
const room = (distance: number, reverberation = 0.5): Condition => {
  let response: Float32Array | undefined;
  return async (sound) => {
    response ??= impulseResponse({ size: [6, 5, 3], reverberation }, distance);
    return heardThrough(sound, response);
  };
};

/** The exam that stands so many after this one, in another voice, from somewhere in its midst. */
async function otherExam(turn: number, after: number, length: number): Promise<Float32Array> {
  const all = scripts();
  const script = all[(turn + 2 + after) % all.length];
  const voice = fliteVoices[(turn + after) % fliteVoices.length];
  if (script === undefined || voice === undefined) return new Float32Array(length);
  const { sound } = await kept(script, voice);
  const from = (after * 7 + turn * 3) * soundRate;
  return Float32Array.from({ length }, (_, i) => sound[(from + i) % sound.length] ?? 0);
}

/** Six talkers at once: demo exams other than the one heard, each from another place in it. */
const babble =
  (ratioDb: number): Condition =>
  async (sound, turn) => {
    const noise = new Float32Array(sound.length);
    for (let talker = 0; talker < 6; talker++) {
      const other = await otherExam(turn, talker, sound.length);
      for (let i = 0; i < noise.length; i++) noise[i] = (noise[i] ?? 0) + (other[i] ?? 0);
    }
    return mixed(sound, noise, ratioDb);
  };

/** Another exam at the next bed: one talker, whose every sentence is exam speech. */
const nextBed =
  (ratioDb: number): Condition =>
  async (sound, turn) =>
    mixed(sound, await otherExam(turn, 1, sound.length), ratioDb);

/** Real noise: a recording of `noise/` of a corpus for each exam, over and over. */
const realNoise =
  (corpus: string, ratioDb: number): Condition =>
  async (sound, turn) => {
    const folder = join(corpus, 'noise');
    const files = (await readdir(folder)).filter((name) => name.endsWith('.wav')).sort();
    const file = files[turn % files.length];
    if (file === undefined) throw new RangeError(`there is no recording in ${folder}`);
    const noise = await recording(join(folder, file));
    return mixed(
      sound,
      sound.map((_, i) => noise[i % noise.length] ?? 0),
      ratioDb,
    );
  };

/** A voice with noise so many dB fainter. */
function mixed(sound: Float32Array, noise: Float32Array, ratioDb: number): Float32Array {
  const gain = Math.sqrt(speechPower(sound) / speechPower(noise) / 10 ** (ratioDb / 10));
  return sound.map((sample, i) => sample + gain * (noise[i] ?? 0));
}

/** What there is by name; with the folder of a corpus, its real noise, too. */
export const conditionsOf = (corpus?: string): Readonly<Record<string, Condition>> => ({
  clean: async (sound) => sound,
  'babble-20': babble(20),
  'babble-10': babble(10),
  'babble-5': babble(5),
  'next-bed-20': nextBed(20),
  'next-bed-12': nextBed(12),
  'room-1m': room(1),
  'room-3m': room(3),
  'room-1m-0.3s': room(1, 0.3),
  'room-3m-0.3s': room(3, 0.3),
  'room-1m-0.8s': room(1, 0.8),
  'room-3m-0.8s': room(3, 0.8),
  ...(corpus === undefined
    ? {}
    : { 'noise-20': realNoise(corpus, 20), 'noise-10': realNoise(corpus, 10) }),
});

/** Mean power of the tenths of a second in which somebody speaks: those within 30 dB of the loudest. */
function speechPower(sound: Float32Array): number {
  const length = soundRate / 10;
  const powers: number[] = [];
  for (let at = 0; at + length <= sound.length; at += length) {
    powers.push(sound.subarray(at, at + length).reduce((sum, s) => sum + s * s, 0) / length);
  }
  const loudest = powers.reduce((most, power) => Math.max(most, power), 0);
  const spoken = powers.filter((power) => power > loudest / 1000);
  return spoken.reduce((sum, power) => sum + power, 0) / Math.max(1, spoken.length);
}

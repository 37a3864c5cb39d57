import { scripts } from '../../demo-audio-scripts/index.ts';
import { soundRate } from '../../src/ports.ts';
import { fliteVoices } from '../../src/voice/index.ts';
import { kept } from './rendered.ts';
import { heardThrough, impulseResponse } from './room.ts';

/** What a room does to a voice. `turn` differs from exam to exam, so that no two meet the same noise. */
export type Condition = (sound: Float32Array, turn: number) => Promise<Float32Array>;

const ward = { size: [6, 5, 3], reverberation: 0.5 } as const;

const room = (distance: number): Condition => {
  const response = impulseResponse(ward, distance);
  return async (sound) => heardThrough(sound, response);
};

/** Six talkers at once: demo exams other than the one heard, each from another place in it. */
const babble =
  (ratioDb: number): Condition =>
  async (sound, turn) => {
    const noise = new Float32Array(sound.length);
    const all = scripts();
    for (let talker = 0; talker < 6; talker++) {
      const script = all[(turn + 2 + talker) % all.length];
      const voice = fliteVoices[(turn + talker) % fliteVoices.length];
      if (script === undefined || voice === undefined) continue;
      const { sound: other } = await kept(script, voice);
      const from = (talker * 7 + turn * 3) * soundRate;
      for (let i = 0; i < noise.length; i++) {
        noise[i] = (noise[i] ?? 0) + (other[(from + i) % other.length] ?? 0);
      }
    }
    const gain = Math.sqrt(speechPower(sound) / speechPower(noise) / 10 ** (ratioDb / 10));
    return sound.map((sample, i) => sample + gain * (noise[i] ?? 0));
  };

export const conditions: Readonly<Record<string, Condition>> = {
  clean: async (sound) => sound,
  'babble-20': babble(20),
  'babble-10': babble(10),
  'babble-5': babble(5),
  'room-1m': room(1),
  'room-3m': room(3),
};

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

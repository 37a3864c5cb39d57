import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Finding, ReflexGrade, Side } from '../../src/exam/index.ts';
import { joined, soundRate } from '../../src/ports.ts';
import { recording } from './recording.ts';

/** A reply to "patellar reflex?", put together from one person's single words. */
export interface Reply {
  readonly words: string;
  readonly findings: readonly Finding[];
  readonly sound: Float32Array;
}

const grades: Readonly<Record<string, ReflexGrade>> = {
  zero: '0',
  one: '1+',
  two: '2+',
  three: '3+',
  four: '4+',
};
const sides: readonly Side[] = ['right', 'left'];

/**
 * Replies of the form "right two left three", each from the words of one speaker.
 *
 * @param folder `words/` of a corpus: a folder a word, WAV files named `SPEAKER-N.wav`
 */
export async function splicedReplies(folder: string, count: number): Promise<readonly Reply[]> {
  const bySpeaker = new Map<string, Map<string, string[]>>();
  for (const word of await readdir(folder)) {
    for (const file of await readdir(join(folder, word))) {
      const speaker = file.replace(/-\d+\.wav$/, '');
      const words = bySpeaker.get(speaker) ?? new Map<string, string[]>();
      words.set(word, [...(words.get(word) ?? []), join(folder, word, file)]);
      bySpeaker.set(speaker, words);
    }
  }
  const random = stream(7);
  const one = <T>(list: readonly T[]): T | undefined => list[Math.floor(random() * list.length)];
  const able = [...bySpeaker.values()].filter(
    (words) =>
      sides.every((side) => words.has(side)) && Object.keys(grades).some((word) => words.has(word)),
  );
  const replies: Reply[] = [];
  while (replies.length < count && able.length > 0) {
    const words = one(able);
    if (words === undefined) break;
    const order = random() < 0.5 ? sides : [...sides].reverse();
    const said = order.flatMap((side) => [
      side,
      one(Object.keys(grades).filter((word) => words.has(word))) ?? 'two',
    ]);
    const parts: Float32Array[] = [new Float32Array(soundRate * 0.4)];
    for (const word of said) {
      const file = one(words.get(word) ?? []);
      if (file !== undefined) parts.push(trimmed(await sound(file)), new Float32Array(1200));
    }
    parts.push(new Float32Array(soundRate));
    replies.push({
      words: said.join(' '),
      findings: order.map((side, i) => ({
        kind: 'reflex',
        site: 'patellar',
        side,
        value: grades[said[2 * i + 1] ?? ''] ?? '0',
      })),
      sound: noisy(joined(parts), random),
    });
  }
  return replies;
}

async function sound(file: string): Promise<Float32Array> {
  const whole = await recording(file);
  const peak = whole.reduce((most, sample) => Math.max(most, Math.abs(sample)), 1e-6);
  return whole.map((sample) => (sample * 0.5) / peak);
}

/** Without the silence before and after the word: from where it first is within 30 dB of its loudest. */
function trimmed(whole: Float32Array): Float32Array {
  const frame = 160;
  const loud: number[] = [];
  for (let at = 0; at + frame <= whole.length; at += frame) {
    loud.push(whole.subarray(at, at + frame).reduce((sum, s) => sum + s * s, 0));
  }
  const least = Math.max(...loud) / 1000;
  const first = loud.findIndex((power) => power > least);
  const last = loud.findLastIndex((power) => power > least);
  return whole.subarray(Math.max(0, first - 6) * frame, (last + 7) * frame);
}

const noisy = (whole: Float32Array, random: () => number): Float32Array =>
  whole.map((sample) => sample + (random() - 0.5) * 0.0006);

function stream(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 0x1_0000_0000;
  };
}

import { describe, expect, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { createEar } from '../../src/app/ear.ts';
import { english } from '../../src/app/language.ts';
import type { HeardWords } from '../../src/app/session.ts';
import type { WordNetwork } from '../../src/grammar/index.ts';
import { chain } from '../../src/grammar/index.ts';
import { type Calibration, rivals } from '../../src/interpret/index.ts';
import type { Path, Recogniser, Weakest } from '../../src/ports.ts';
import { echoing } from '../audio/room.ts';
import { takes as networkTakes } from '../language/taking.ts';
import { random } from '../localize/simulate.ts';

const language = english();
const network: WordNetwork = { states: 1, start: 0, finals: [0], arcs: [] };

const path = (words: string, score: number): Path => ({
  words: words.split(' ').map((word) => ({ word, startMs: 0, endMs: 0 })),
  score,
});

/** A recogniser that hears what it is told to, whatever the sound. */
const chainOf = (path: Path | undefined) => chain(path?.words.map(({ word }) => word) ?? []);
const deaf = (first: Path, again: readonly (Path | undefined)[]): Recogniser => ({
  id: 'told',
  listenFor: async () => {},
  start: async () => {},
  feed: async () => [],
  finish: async () => ({ best: first, anySpeech: first.score - 400, frames: 200 }),
  // Whichever of the two sentences is asked for first, by itself, comes first.
  reconsider: async ([own]) => {
    const turned = JSON.stringify(own) === JSON.stringify(chainOf(again[1]));
    return turned ? [...again].reverse() : again;
  },
  abort: async () => {},
  forget: async () => {},
  close: async () => {},
});

/** What comes of one utterance: two seconds of a tone that begins and ends. */
async function heard(recogniser: Recogniser): Promise<HeardWords | undefined> {
  let words: HeardWords | undefined;
  const ear = createEar({
    recogniser,
    language: { ...language, network: () => network },
    calibration: calibrations.mixture,
    context: () => ({}),
    partial: () => {},
    utterance: (one) => {
      words = one;
    },
    failed: (why) => {
      throw why;
    },
  });
  const sound = Float32Array.from({ length: 48_000 }, (_, i) =>
    i > 8000 && i < 40_000 ? 0.3 * Math.sin(i / 5) : 1e-4 * Math.sin(i),
  );
  for (let at = 0; at < sound.length; at += 1600) ear.push(sound.subarray(at, at + 1600));
  await ear.flush();
  return words;
}

describe('an utterance is heard twice, and the second hearing decides', () => {
  const said = 'right patellar three plus';
  const other = 'right patellar two plus';
  test('far better than its nearest rival: sure', async () => {
    const one = await heard(deaf(path(said, 0), [path(said, 0), path(other, -150)]));
    expect(one?.words.join(' ')).toBe(said);
    expect(one?.certainty).toBe('sure');
  });
  test('hardly better: to be asked about', async () => {
    const one = await heard(deaf(path(said, 0), [path(said, 0), path(other, -3)]));
    expect(one?.words.join(' ')).toBe(said);
    expect(one?.certainty).toBe('unsure');
  });
  test('worse: it was the rival', async () => {
    const one = await heard(deaf(path(said, 0), [path(said, -150), path(other, 0)]));
    expect(one?.words.join(' ')).toBe(other);
    expect(one?.certainty).toBe('sure');
  });
  test('a rival that is no sentence is not taken for one, but makes unsure', async () => {
    const one = await heard(deaf(path(said, 0), [path(said, -150), path('two right and', 0)]));
    expect(one?.words.join(' ')).toBe(said);
    expect(one?.certainty).toBe('unsure');
  });
});

describe('what cannot be heard whole is told, not guessed at', () => {
  const tone = (from: number, to: number) =>
    Float32Array.from({ length: to - from }, (_, i) => {
      const at = from + i;
      return at > 8000 && at < 40_000 ? 0.3 * Math.sin(at / 5) : 1e-4 * Math.sin(at);
    });
  /** An ear in whose utterance something happens after one second; gives what it told. */
  async function broken(act: (ear: ReturnType<typeof createEar>) => void, words = ['right']) {
    const told: string[] = [];
    const ear = createEar({
      recogniser: { ...deaf(path('right patellar three plus', 0), []), feed: async () => words },
      language: { ...language, network: () => network },
      calibration: calibrations.mixture,
      context: () => ({}),
      partial: () => {},
      missed: () => told.push('missed'),
      utterance: () => told.push('utterance'),
      failed: (why) => {
        throw why;
      },
    });
    for (let at = 0; at < 20_000; at += 400) ear.push(tone(at, at + 400));
    await ear.settled();
    act(ear);
    for (let at = 20_000; at < 60_000; at += 400) ear.push(tone(at, at + 400));
    await ear.flush();
    return told;
  }
  test('a piece of its sound was lost', async () => {
    // Told when it is let go, and again when its unheard rest is over.
    expect(new Set(await broken((ear) => ear.gap(100)))).toEqual(new Set(['missed']));
  });
  test('the program began to speak in its midst', async () => {
    expect(await broken((ear) => ear.mute(true))).toEqual(['missed']);
  });
  test('a noise without words was dropped: nothing is told', async () => {
    expect(await broken((ear) => ear.mute(true), [])).toEqual([]);
  });
  test('nothing happened', async () => {
    expect(await broken(() => {})).toEqual(['utterance']);
  });
});

describe('a key says when to listen', () => {
  const tone = Float32Array.from({ length: 48_000 }, (_, i) =>
    i > 8000 && i < 40_000 ? 0.3 * Math.sin(i / 5) : 1e-4 * Math.sin(i),
  );
  /** Shut at these samples, if at all, and what was heard. */
  async function heardUntil(shutAt: number): Promise<readonly HeardWords[]> {
    const heard: HeardWords[] = [];
    const said = path('right patellar three plus', 0);
    const ear = createEar({
      recogniser: deaf(said, [said, path('right patellar two plus', -150)]),
      language: { ...language, network: () => network },
      calibration: calibrations.mixture,
      context: () => ({}),
      partial: () => {},
      utterance: (one) => heard.push(one),
      failed: (why) => {
        throw why;
      },
    });
    for (let at = 0; at < tone.length; at += 1600) {
      if (at >= shutAt) ear.gate(false);
      ear.push(tone.subarray(at, at + 1600));
    }
    await ear.settled();
    return heard;
  }
  test('let go after the last word, the utterance ends without waiting, and is sure', async () => {
    const [one, ...more] = await heardUntil(44_800);
    expect(one?.certainty).toBe('sure');
    expect(more).toEqual([]);
    // The tone ended half a second before the sound does: by itself it would not have ended yet.
    expect(await heardUntil(Number.POSITIVE_INFINITY)).toEqual([]);
  });
  test('let go in mid word, it must be asked about', async () => {
    expect((await heardUntil(32_000)).map(({ certainty }) => certainty)).toEqual(['unsure']);
  });
  test('up from the beginning, nothing is heard', async () => {
    expect(await heardUntil(0)).toEqual([]);
  });
});

describe('how loud words are', () => {
  const fits: Weakest = { word: 4, pause: 0 };
  /** Words of half a second; an utterance begins about 350 ms before its first. */
  const timedOf = (text: string): Path => ({
    ...path(text, 0),
    words: text.split(' ').map((word, i) => {
      const startMs = 350 + 500 * i;
      return { word, startMs, endMs: startMs + 500 };
    }),
  });
  /** Sentences of which each word is so loud, with a pause between them. */
  const certainties = (...sentences: readonly (readonly number[])[]) =>
    certaintiesIn({ room: 1e-4, margin: 150, calibration: calibrations.mixture }, ...sentences);
  async function certaintiesIn(
    where: {
      /** How loud the room is. */
      readonly room: number;
      /** How far the sentence is ahead of its nearest rival. */
      readonly margin: number;
      readonly calibration: Calibration;
      /** What is said, four words unless told otherwise. */
      readonly text?: string;
      /** In so many seconds sound falls by 60 dB. */
      readonly echo?: number;
      /** How its pieces fit their own sound; well unless told otherwise. */
      readonly weakest?: Weakest | 'not told';
    },
    ...sentences: readonly (readonly number[])[]
  ) {
    const { room, margin, calibration, text = 'right patellar three plus', echo } = where;
    const { weakest = fits } = where;
    const timed = { ...timedOf(text), ...(weakest === 'not told' ? {} : { weakest }) };
    const heard: HeardWords[] = [];
    const ear = createEar({
      recogniser: deaf(timed, [timed, path('right patellar two plus', -margin)]),
      language: { ...language, network: () => network },
      calibration,
      context: () => ({}),
      partial: () => {},
      utterance: (one) => heard.push(one),
      failed: (why) => {
        throw why;
      },
    });
    const quiet = Array.from({ length: 24_000 }, (_, i) => room * Math.sin(i));
    // One note alone is not what a room falls by: it is put out by some of its reflections.
    const next = random(5);
    const voice = echo === undefined ? (i: number) => Math.sin(i / 5) : () => 2 * next() - 1;
    for (const heights of sentences) {
      const words = heights.flatMap((height) =>
        Array.from({ length: 8000 }, (_, i) => height * voice(i) + room * Math.sin(i)),
      );
      const sound = Float32Array.from([...quiet, ...words, ...quiet]);
      ear.push(echo === undefined ? sound : echoing(sound, echo));
    }
    await ear.flush();
    expect(heard.map(({ words }) => words.join(' '))).toEqual(sentences.map(() => text));
    return heard.map(({ certainty }) => certainty);
  }
  const loud = [0.3, 0.25, 0.3, 0.2];
  const soft = loud.map((height) => height / 2);
  const far = loud.map((height) => height / 8);

  test('words of one loudness are believed', async () => {
    expect(await certainties(loud)).toEqual(['sure']);
  });
  test.each([
    ['at the end', [0.3, 0.3, 0.03, 0.03]],
    ['at the beginning', [0.03, 0.03, 0.3, 0.3]],
  ])('far fainter words %s: to be asked about', async (_where, heights) => {
    expect(await certainties(heights)).toEqual(['unsure']);
  });
  test('an utterance far fainter than those before it is asked about, not lost', async () => {
    expect(await certainties(loud, loud, far, soft, loud)).toEqual([
      'sure',
      'sure',
      'unsure',
      'sure',
      'sure',
    ]);
  });
  test('a soft voice from the first word on is believed', async () => {
    expect(await certainties(far, far)).toEqual(['sure', 'sure']);
  });
  describe('where it is hard to hear, every piece of a sentence must fit its own sound, too', () => {
    const misfit = { word: -9, pause: 0 };
    const lost = { word: 4, pause: -4 };
    const { both } = calibrations;
    // Each of the two by which it is told, alone.
    const byNoise = { ...both, hard: { ...both.hard, fall: 0 } };
    const byEcho = { ...both, hard: { ...both.hard, overRoom: 0 } };
    test.each([
      ['each of whose words fits', fits, 10, 'sure'],
      ['one of whose words hardly fits', misfit, 10, 'unsure'],
      ['between whose words something was said', lost, 10, 'unsure'],
      ['one of whose words hardly fits, far ahead of every rival', misfit, 30, 'sure'],
      ['with much amiss, however far ahead', { word: -20, pause: -9 }, 30, 'unsure'],
      ['hardly ahead of a rival', fits, 4, 'unsure'],
    ])('a sentence %s', async (_what, weakest, margin, certainty) => {
      const noisy = { margin, weakest, room: 0.035, calibration: byNoise };
      expect(await certaintiesIn(noisy, loud)).toEqual([certainty]);
      const slow = { margin, weakest, room: 1e-4, echo: 0.9, calibration: byEcho };
      expect(await certaintiesIn(slow, loud)).toEqual([certainty]);
      if (margin < 10) return;
      // In a quiet room that gives back little the lead over rivals is enough.
      const easy = { margin, weakest, room: 1e-4, calibration: both };
      expect(await certaintiesIn(easy, loud)).toEqual(['sure']);
      expect(await certaintiesIn({ ...easy, echo: 0.4 }, loud)).toEqual(['sure']);
    });
    test('a recogniser that cannot tell how pieces fit is believed least', async () => {
      const where = { margin: 30, room: 0.035, calibration: both, weakest: 'not told' } as const;
      expect(await certaintiesIn(where, loud)).toEqual(['unsure']);
    });
  });
  test('a correction that is fairly sure in a quiet room is asked about: it takes the place of what stands', async () => {
    const where = { room: 1e-4, margin: 10, calibration: calibrations.both };
    const heights = [0.3, 0.3, 0.3, 0.3];
    const text = 'correction left two plus';
    expect(await certaintiesIn({ ...where, text }, heights)).toEqual(['unsure']);
    expect(await certaintiesIn({ ...where, text, margin: 30 }, heights)).toEqual(['sure']);
  });
  test.each([
    ['a side that may have been said', 'steppage gait', 'unsure'],
    ['no side that was not heard', 'left steppage gait', 'sure'],
    ['no side at all', 'back pain present', 'sure'],
    ['what may have been a name instead of "correction"', 'correction not tested', 'unsure'],
  ])('noise may have taken %s from "%s"', async (_what, text, inNoise) => {
    const where = { margin: 150, calibration: calibrations.both, text };
    const heights = text.split(' ').map(() => 0.3);
    expect(await certaintiesIn({ ...where, room: 1e-4 }, heights)).toEqual(['sure']);
    expect(await certaintiesIn({ ...where, room: 0.05 }, heights)).toEqual([inNoise]);
  });
});

describe('the rivals of a sentence', () => {
  const takes = (said: string, words: string): boolean =>
    networkTakes(rivals(language, 'exam.open', said.split(' ')), words.split(' '));
  test('differ in one slot', () => {
    expect(takes('right patellar three plus', 'left patellar three plus')).toBe(true);
    expect(takes('right patellar three plus', 'right achilles three plus')).toBe(true);
    expect(takes('right patellar three plus', 'right patellar two plus')).toBe(true);
    expect(takes('right patellar three plus', 'right patellar three plus')).toBe(false);
    expect(takes('right patellar three plus', 'left patellar two plus')).toBe(false);
  });
  test.each([
    // Choices that the grammar names nowhere.
    ['sustained right ankle clonus', 'unsustained right ankle clonus'],
    ['upgoing left toe', 'downgoing left toe'],
    ['negative hoffmann on the right', 'positive hoffmann on the right'],
    ['steppage gait', 'antalgic gait'],
    ['left hemiparetic gait', 'left antalgic gait'],
    ['mute plantars', 'flexor plantars'],
    // Words of one sound, wherever they stand in the grammar.
    ['dysphagia present', 'dysphasia present'],
    ['wasting over the right deltoid', 'no wasting over the right deltoid'],
    ['right calf normal', 'right calf bulk normal'],
  ])('"%s" and "%s" are near each other, and not themselves', (said, other) => {
    expect(takes(said, other)).toBe(true);
    expect(takes(other, said)).toBe(true);
    expect(takes(said, said)).toBe(false);
  });
  test('what sounds like it and means the same is none', () => {
    expect(takes('no right ankle clonus', 'right ankle clonus')).toBe(false);
    expect(takes('right patellar three plus', 'no right patellar three plus')).toBe(false);
  });
  test('little words come and go: "are brisk" is near "very brisk"', () => {
    expect(takes('reflexes very brisk throughout', 'reflexes are brisk throughout')).toBe(true);
    expect(takes('right patellar is three plus', 'right patellar two plus')).toBe(true);
  });
});

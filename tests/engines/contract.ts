import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { WordNetwork } from '../../src/grammar/index.ts';
import { advantageOf, type Calibration, certaintyOf } from '../../src/interpret/index.ts';
import {
  joined,
  PortError,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../src/ports.ts';
import type { FliteVoice } from '../../src/voice/index.ts';
import { oneOf, reflexes } from './network.ts';
import { pieces, spoken as rendered, silence } from './speech.ts';

const text = (path: { readonly words: readonly { readonly word: string }[] } | undefined) =>
  path?.words.map(({ word }) => word).join(' ');

export async function hear(recogniser: Recogniser, sound: Sound): Promise<Recognition> {
  await recogniser.start();
  for (const piece of pieces(sound, 100)) await recogniser.feed(piece);
  return recogniser.finish();
}

/** In what an engine may differ. */
export interface EngineUnderTest {
  /** What its scores mean. */
  readonly calibration: Calibration;
  /** A sentence as the engine takes it; by default, spoken by the embedded voice. */
  readonly say?: (text: string, voice?: FliteVoice) => Promise<Sound>;
  /** What comes near to a sentence and is none: it must leave a doubt. What does differs from ear to ear. */
  readonly doubtful?: string;
  /** It needs a pronunciation for each word; engines of free words write down any. */
  readonly pronounces?: boolean;
  /** It tells words and their times while it hears; others say all at the end. */
  readonly streams?: boolean;
}

/**
 * What the port promises, for any engine.
 *
 * @param create an engine that can pronounce English, `clonus` among it, but not `zzyzx` and `qqxj`
 */
export function recogniserContract(
  name: string,
  create: () => Promise<Recogniser>,
  {
    calibration,
    say: spoken = rendered,
    doubtful = 'right ankle in the absence of',
    pronounces = true,
    streams = true,
  }: EngineUnderTest,
): void {
  describe(`${name} keeps the promises of a recogniser`, () => {
    let recogniser: Recogniser;
    beforeAll(async () => {
      recogniser = await create();
      await recogniser.listenFor(reflexes);
    });
    afterAll(() => recogniser.close());
    const code = (promise: Promise<unknown>) =>
      promise.then(
        () => 'nothing was wrong',
        (why: unknown) => (why instanceof PortError ? why.code : why),
      );

    test.each(['slt', 'rms', 'kal16', 'awb'] as const)('hears the voice %s', async (voice) => {
      const sound = await spoken('right patellar three plus', voice);
      const { best } = await hear(recogniser, sound);
      expect(text(best)).toBe('right patellar three plus');
    });

    test('hears a sentence, and by the way back another', async () => {
      const sound = await spoken('left biceps two plus, right ankle absent');
      const { best, frames } = await hear(recogniser, sound);
      expect(text(best)).toBe('left biceps two plus right ankle absent');
      expect(frames).toBeCloseTo(sound.length / 160, -1);
    });

    test.runIf(streams)('says when each word was spoken', async () => {
      const lead = 700;
      const sound = joined([silence(lead - 300), await spoken('left triceps one plus')]);
      const words = (await hear(recogniser, sound)).best?.words ?? [];
      expect(words).toHaveLength(4);
      let last = lead - 150; // a word may be given some of the silence before it
      for (const { startMs, endMs } of words) {
        expect(startMs).toBeGreaterThanOrEqual(last);
        expect(endMs).toBeGreaterThan(startMs);
        last = startMs;
      }
      expect(words.at(-1)?.endMs).toBeLessThanOrEqual(sound.length / 16);
    });

    test.runIf(streams)('shows words while the examiner still speaks', async () => {
      const sound = await spoken('right patellar three plus');
      await recogniser.start();
      const shown: string[] = [];
      for (const piece of pieces(sound, 100)) {
        shown.push((await recogniser.feed(piece)).join(' '));
      }
      await recogniser.finish();
      const half = shown.slice(0, Math.ceil(shown.length * 0.7));
      expect(half.some((words) => words.startsWith('right'))).toBe(true);
    });

    test('what is in the network fits better than any speech; what is not, worse or not at all', async () => {
      const inside = await hear(recogniser, await spoken('left patellar two plus'));
      expect(inside.best?.score).toBeGreaterThan(inside.anySpeech);
      const talk = 'and how have you been sleeping since we saw you last week';
      const outside = await hear(recogniser, await spoken(talk));
      expect(outside.best?.score ?? Number.NEGATIVE_INFINITY).toBeLessThan(outside.anySpeech);
    });

    test('having forgotten what came before, the same sound gives the same answer', async () => {
      const sound = await spoken('left ankle three plus', 'rms');
      await recogniser.forget();
      const first = await hear(recogniser, sound);
      await hear(recogniser, await spoken('right biceps absent', 'awb'));
      await recogniser.forget();
      expect(await hear(recogniser, sound)).toEqual(first);
    });

    test('hears the utterance again under other networks, and the right one fits best', async () => {
      await hear(recogniser, await spoken('right patellar three plus'));
      const [own, side, grade, foreign] = await recogniser.reconsider([
        oneOf('right patellar three plus'),
        oneOf('left patellar three plus'),
        oneOf('right patellar one plus', 'right patellar two plus'),
        oneOf('clonus'),
      ]);
      expect(text(own)).toBe('right patellar three plus');
      const [alone] = await recogniser.reconsider([oneOf('right patellar three plus')]);
      expect(alone?.words).toEqual(own?.words);
      for (const rival of [side, grade, foreign]) {
        expect(rival?.score ?? Number.NEGATIVE_INFINITY).toBeLessThan(own?.score ?? 0);
      }
    });

    test('after hearing again it still listens for what it was told', async () => {
      await hear(recogniser, await spoken('right ankle two plus'));
      await recogniser.reconsider([oneOf('clonus')]);
      const { best } = await hear(recogniser, await spoken('left biceps absent'));
      expect(text(best)).toBe('left biceps absent');
    });

    test('a network set during an utterance holds from the next one on', async () => {
      const sound = await spoken('left biceps absent');
      await recogniser.start();
      await recogniser.feed(sound.subarray(0, 8000));
      await recogniser.listenFor(oneOf('say again'));
      await recogniser.feed(sound.subarray(8000));
      expect(text((await recogniser.finish()).best)).toBe('left biceps absent');
      expect(text((await hear(recogniser, await spoken('say again'))).best)).toBe('say again');
      await recogniser.listenFor(reflexes);
    });

    test.runIf(pronounces)(
      'names every word that it cannot pronounce, and listens on as before',
      async () => {
        const refused = recogniser.listenFor(oneOf('left zzyzx absent', 'qqxj'));
        await expect(refused).rejects.toThrow(/zzyzx.*qqxj/);
        expect(await code(recogniser.listenFor(oneOf('zzyzx')))).toBe('unknown-word');
        const { best } = await hear(recogniser, await spoken('right ankle absent'));
        expect(text(best)).toBe('right ankle absent');
      },
    );

    test.each<[string, Sound]>([
      ['nothing at all', new Float32Array(0)],
      ['a single sample', new Float32Array(1)],
      ['digital silence', silence(1000)],
      ['full-scale clipping', Float32Array.from({ length: 16_000 }, (_, i) => (i & 64 ? 1 : -1))],
    ])('%s is no sentence and no failure', async (_what, sound) => {
      const { best, anySpeech } = await hear(recogniser, sound);
      expect(best === undefined || best.score <= anySpeech || best.words.length === 0).toBe(true);
      expect(Number.isNaN(anySpeech)).toBe(false);
    });

    test('digital silence around speech does not lose it', async () => {
      const sound = joined([silence(1500), await spoken('left ankle absent'), silence(1500)]);
      expect(text((await hear(recogniser, sound)).best)).toBe('left ankle absent');
    });

    test('its confidence is a probability, and goes the three ways', async () => {
      const ways: string[] = [];
      // Another exam: the noises of the tests before are no part of this voice's mean.
      await recogniser.forget();
      const three = ['right ankle absent', doubtful, 'how did you sleep'];
      for (const sentence of three) {
        const { best, anySpeech, frames } = await hear(recogniser, await spoken(sentence));
        const [own, rival] = await recogniser.reconsider([
          oneOf(text(best) ?? 'right ankle absent'),
          oneOf('left ankle absent', 'right ankle one plus', 'right biceps absent'),
        ]);
        const score = best?.score ?? Number.NEGATIVE_INFINITY;
        const { confidence, certainty } = certaintyOf(
          {
            advantage: advantageOf({ best: score, anySpeech, frames }, calibration),
            margin: (own?.score ?? 0) - (rival?.score ?? Number.NEGATIVE_INFINITY),
          },
          calibration,
        );
        expect(confidence).toBeGreaterThanOrEqual(0);
        expect(confidence).toBeLessThanOrEqual(1);
        ways.push(certainty);
      }
      expect(ways[0]).toBe('sure');
      expect(ways[1]).not.toBe('sure');
      expect(ways[2]).toBe('foreign');
    });

    test('two exams in turn do not meet', async () => {
      const exam = async (): Promise<readonly Recognition[]> => {
        await recogniser.forget();
        await recogniser.listenFor(reflexes);
        const heard = [];
        for (const sentence of ['left biceps two plus', 'right triceps absent']) {
          heard.push(await hear(recogniser, await spoken(sentence)));
        }
        return heard;
      };
      const first = await exam();
      expect(first.map(({ best }) => text(best))).toEqual([
        'left biceps two plus',
        'right triceps absent',
      ]);
      expect(await exam()).toEqual(first);
    });

    test('an utterance can be dropped, and the next is heard', async () => {
      await recogniser.start();
      await recogniser.feed(await spoken('right biceps two plus'));
      await recogniser.abort();
      expect(await code(recogniser.finish())).not.toBe('nothing was wrong');
      const { best } = await hear(recogniser, await spoken('left triceps absent'));
      expect(text(best)).toBe('left triceps absent');
    });

    test('asked out of turn it says so instead of waiting', async () => {
      const fresh = await create();
      expect(await code(fresh.start())).not.toBe('nothing was wrong');
      expect(await code(fresh.feed(silence(10)))).not.toBe('nothing was wrong');
      expect(await code(fresh.reconsider([reflexes]))).not.toBe('nothing was wrong');
      await fresh.close();
      await fresh.close();
      expect(await code(fresh.listenFor(reflexes))).toBe('closed');
      expect(await code(fresh.start())).toBe('closed');
    });
  });
}

/** Networks that a compiler may give and an engine must take. */
export const oddNetworks: readonly (readonly [string, WordNetwork])[] = [
  ['the empty sentence', { states: 1, start: 0, finals: [0], arcs: [] }],
  [
    'a ring of wordless steps',
    {
      states: 3,
      start: 0,
      finals: [2],
      arcs: [
        { from: 0, to: 1, word: '' },
        { from: 1, to: 0, word: '' },
        { from: 1, to: 2, word: 'left' },
      ],
    },
  ],
];

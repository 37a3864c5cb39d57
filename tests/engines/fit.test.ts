import { readFile } from 'node:fs/promises';
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { ctc, logShares } from '../../src/engines/examear/ctc.ts';
import { Head } from '../../src/engines/examear/head.ts';
import { Mel } from '../../src/engines/examear/mel.ts';
import { Network } from '../../src/engines/examear/network.ts';
import { examEarInNode } from '../../src/engines/examear/node.ts';
import { readWeights, type Weights } from '../../src/engines/examear/weights.ts';
import { readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import { chain } from '../../src/grammar/index.ts';
import type { Learning, Recogniser } from '../../src/ports.ts';
import type { FliteVoice } from '../../src/voice/index.ts';
import { hear } from './contract.ts';
import { pieces, spoken as rendered } from './speech.ts';

/** Said once for all tests. */
const said = new Map<string, ReturnType<typeof rendered>>();
function spoken(words: string, voice: FliteVoice = 'slt'): ReturnType<typeof rendered> {
  const sound = said.get(voice + words) ?? rendered(words, voice);
  said.set(voice + words, sound);
  return sound;
}

/** Numbers from 0 to 1 that look drawn; the same each time. */
function drawn(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

const numbers = (count: number, draw: () => number, size = 2): Float32Array =>
  Float32Array.from({ length: count }, () => size * (2 * draw() - 1));

function run<T>(steps: Generator<void, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

describe('ctc', () => {
  /** What is left of a row of labels when repetitions and nones go. */
  const read = (row: readonly number[]): string =>
    row.filter((label, i) => label !== 0 && label !== row[i - 1]).join(' ');

  /** Probability of the phones, over every row of labels there is. */
  function summed(logs: Float32Array, phones: readonly number[], labels: number): number {
    const frames = logs.length / labels;
    let sum = 0;
    for (let n = 0; n < labels ** frames; n++) {
      const row = Array.from({ length: frames }, (_, t) => Math.floor(n / labels ** t) % labels);
      if (read(row) !== phones.join(' ')) continue;
      sum += Math.exp(row.reduce((all, label, t) => all + (logs[t * labels + label] ?? 0), 0));
    }
    return sum;
  }

  test.each([
    [5, [1, 2]],
    [6, [1, 1]],
    [5, [2, 1, 2]],
    [4, [3]],
    [6, [3, 3, 1]],
    [3, []],
  ] as const)('is the sum over all alignments: %i frames, %j', (frames, phones) => {
    for (let seed = 1; seed < 6; seed++) {
      const logs = logShares(numbers(frames * 4, drawn(seed)), 4);
      expect(Math.exp(-(ctc(logs, phones, 4)?.loss ?? 0))).toBeCloseTo(summed(logs, phones, 4), 6);
    }
  });

  test('has no answer where the frames are too few', () => {
    const logs = logShares(numbers(2 * 4, drawn(1)), 4);
    expect(ctc(logs, [1, 1], 4)).toBeUndefined();
    expect(ctc(logs, [1, 2], 4)).toBeDefined();
  });

  test('its gradient is what a small change of a logit does', () => {
    const logits = numbers(7 * 5, drawn(3));
    const phones = [4, 1, 1];
    const loss = (x: Float32Array) => ctc(logShares(x, 5), phones, 5)?.loss ?? 0;
    const gradient = ctc(logShares(logits, 5), phones, 5)?.gradient ?? new Float32Array();
    const by = 1e-2;
    for (let i = 0; i < logits.length; i++) {
      const [more, less] = [logits.slice(), logits.slice()];
      more[i] = (more[i] ?? 0) + by;
      less[i] = (less[i] ?? 0) - by;
      expect(gradient[i]).toBeCloseTo((loss(more) - loss(less)) / (2 * by), 3);
    }
  });
});

const file = new URL('../../src/engines/examear/examear.bin', import.meta.url);
let bytes: Uint8Array;
let weights: Weights;
beforeAll(async () => {
  bytes = new Uint8Array(await readFile(file));
  weights = readWeights(bytes);
});

/** How far the beginning of all logs is from rows of 40, at most. */
const farthest = (logs: Float32Array, rows: readonly Float32Array[]): number =>
  rows.reduce(
    (most, row, i) =>
      row.reduce(
        (far, log, label) => Math.max(far, Math.abs((logs[i * 40 + label] ?? 0) - log)),
        most,
      ),
    0,
  );

describe('the head, forth and back', () => {
  test('gives what the network gives that runs along the sound', async () => {
    const sound = await spoken('left biceps two plus right ankle absent', 'awb');
    const mel = new Mel(weights.of('mel.bands'));
    const network = new Network(weights);
    const rows = pieces(sound, 70).flatMap((piece) => network.push(mel.push(piece)));
    rows.push(...network.finish());
    // A look ahead leaves nothing behind of what it saw.
    network.look();
    const entered = network.entered(1000);
    const head = run(Head.of(weights));
    const input = Float32Array.from(entered.flatMap((row) => [...row]));
    const logs = logShares(run(head.forward(input)), 40);
    expect(rows.length).toBeGreaterThan(100);
    expect(farthest(logs, rows)).toBeLessThan(1e-3);
  });

  test('a fit folded into the weights does what it does to what enters', async () => {
    const sound = await spoken('left biceps two plus', 'awb');
    const mel = new Mel(weights.of('mel.bands'));
    const network = new Network(weights);
    const draw = drawn(5);
    const scale = numbers(352, draw, 0.2).map((s) => 1 + s);
    const shift = numbers(352, draw, 0.2);
    network.use({ scale, shift });
    const rows = [...network.push(mel.push(sound)), ...network.finish()];
    const input = Float32Array.from(
      network
        .entered(1000)
        .flatMap((row) => [...row].map((x, i) => x * (scale[i] ?? 0) + (shift[i] ?? 0))),
    );
    const logs = logShares(run(run(Head.of(weights)).forward(input)), 40);
    expect(farthest(logs, rows)).toBeLessThan(1e-3);
    network.use(undefined);
    network.reset();
    mel.reset();
    const plain = new Network(weights);
    expect([...network.push(mel.push(sound))]).toEqual([
      ...plain.push(new Mel(weights.of('mel.bands')).push(sound)),
    ]);
  });

  test('its gradient is what a small change of what enters does', () => {
    const head = run(Head.of(weights));
    const rows = 19;
    const draw = drawn(7);
    const input = numbers(rows * head.inputs, draw, 1);
    const pull = numbers(rows * head.outputs, draw, 1);
    const value = (x: Float32Array): number =>
      run(head.forward(x)).reduce((sum, y, i) => sum + y * (pull[i] ?? 0), 0);
    run(head.forward(input));
    const gradient = run(head.backward(pull));
    // Along many numbers at once, where much changes: a single one drowns in the rounding of 32 bits. A step is short enough
    // for what bends to count for little, and long enough for rounding to: from 0.005 on the one shows, below 0.0005 the other.
    for (let seed = 1; seed < 9; seed++) {
      const draw = drawn(seed);
      const way = gradient.map((g) => (draw() < 0.2 ? g : 0));
      const wanted = way.reduce((sum, g) => sum + g * g, 0);
      const by = 0.002 / Math.sqrt(wanted);
      const moved = (sign: number) => input.map((x, i) => x + sign * by * (way[i] ?? 0));
      const found = (value(moved(1)) - value(moved(-1))) / (2 * by);
      expect(found / wanted).toBeCloseTo(1, 2);
    }
  });
});

const pronunciations = readPronunciations('patellar P AH T EH L ER\n');
const replies = [
  'left biceps two plus',
  'right triceps one plus',
  'left ankle absent',
  'right patellar three plus',
  'left triceps four plus',
  'right biceps absent',
  'left patellar one plus',
  'right ankle two plus',
  'left biceps three plus',
  'right triceps absent',
  'left ankle four plus',
  'right patellar two plus',
  'left triceps two plus',
  'right biceps one plus',
  'left patellar absent',
];
const common = [
  'left patellar two plus',
  'right biceps three plus',
  'left ankle one plus',
  'right triceps four plus',
  'left biceps absent',
  'right ankle absent',
];
const other = (words: string): string =>
  words.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left'));

describe('learning from replies', () => {
  let ear: Recogniser;
  beforeEach(async () => {
    ear = await examEarInNode({ weights: file, pronunciations });
  });
  afterEach(() => ear.close());

  const fitting = () => {
    if (ear.fitting === undefined) throw new Error('the exam ear cannot learn');
    return ear.fitting;
  };

  /** Says replies in a voice, settles them as told, and learns. */
  async function taught(as: (words: string) => string): Promise<Learning> {
    for (const phrase of common) {
      for (const one of ['slt', 'awb'] as const) {
        expect(await fitting().test(await spoken(phrase, one), phrase.split(' '))).toBe(true);
      }
    }
    for (const words of replies) {
      await ear.listenFor(chain(words.split(' ')));
      await hear(ear, await spoken(words, 'kal16'));
      const held = await fitting().hold(as(words).split(' '));
      await fitting().settle(held ?? -1, true);
    }
    for (let moments = 1; ; moments++) {
      const learning = await fitting().learn();
      if (learning.is === 'learning') continue;
      // It let others in between.
      expect(moments).toBeGreaterThan(10);
      return learning;
    }
  }

  async function score(words: string, voice: FliteVoice): Promise<number> {
    await ear.listenFor(chain(words.split(' ')));
    return (await hear(ear, await spoken(words, voice))).best?.score ?? Number.NEGATIVE_INFINITY;
  }

  test('hears the voice better that it learnt, until it is told to hear without', async () => {
    const learning = await taught((words) => words);
    if (learning.is !== 'learnt') throw new Error(`came to ${learning.is}`);
    const { fit } = learning;
    expect(fit.replies).toBe(12);
    const before = await score('right ankle four plus', 'kal16');
    expect(await fitting().use(fit)).toBe(true);
    expect(await score('right ankle four plus', 'kal16')).toBeGreaterThan(before);
    // As it comes back from where it was kept.
    expect(await fitting().use(JSON.parse(JSON.stringify(fit)))).toBe(true);
    expect(await score('right ankle four plus', 'kal16')).toBeGreaterThan(before);
    expect(await fitting().use({ ...fit, of: 'other weights' })).toBe(false);
    expect(await score('right ankle four plus', 'kal16')).toBe(before);
  });

  test('from sides that are all wrong it learns nothing', async () => {
    expect(await taught(other)).toEqual({ is: 'nothing' });
  });

  test('holds nothing while an utterance goes on, and takes no test', async () => {
    await ear.listenFor(chain(['left', 'biceps']));
    const sound = await spoken('left biceps');
    await ear.start();
    await ear.feed(sound);
    expect(await fitting().hold(['left', 'biceps'])).toBeUndefined();
    expect(await fitting().test(sound, ['left', 'biceps'])).toBe(false);
    await ear.finish();
    expect(await fitting().hold(['left', 'biceps'])).toBe(0);
    expect(await fitting().settle(0, false)).toBe(0);
    expect(await fitting().settle(0, true)).toBe(0);
    expect(await fitting().learn()).toEqual({ is: 'nothing' });
  });
});

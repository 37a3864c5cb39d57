import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { modelOf } from '../../src/app/models/manifest.ts';
import { createEndpointer, createLevels, frameMs } from '../../src/audio/endpoint.ts';
import { earsInNode } from '../../src/engines/ears/node.ts';
import { together } from '../../src/engines/ears/recogniser.ts';
import { tuning } from '../../src/engines/ears/tuning.ts';
import { Allowance } from '../../src/engines/examear/allowance.ts';
import { examEarInNode } from '../../src/engines/examear/node.ts';
import { withoutReverberation } from '../../src/engines/reverberation.ts';
import { readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import { filesIn, packagedModel } from '../../src/engines/soundswallower/node.ts';
import { chain, type WordNetwork } from '../../src/grammar/index.ts';
import { certaintyOf } from '../../src/interpret/index.ts';
import { joined, type Path, type Recogniser, type Sound } from '../../src/ports.ts';
import { recogniserContract } from './contract.ts';
import { oneOf, reflexes } from './network.ts';
import { pieces, silence, spoken } from './speech.ts';

const weights = new URL('../../src/engines/examear/examear.bin', import.meta.url);
const pronunciations = readPronunciations('clonus K L OW N AH S\npatellar P AH T EH L ER\n');

/** A clock that stands still: there is always time for a look. */
const always = () => 0;

const doubtful = 'right ankle was not absent';

recogniserContract('both ears', () => earsInNode({ weights, pronunciations }), {
  calibration: calibrations.both,
  doubtful,
});

recogniserContract('the exam ear alone', () => examEarInNode({ weights, pronunciations }), {
  calibration: calibrations.exam,
  doubtful,
});

describe('words while they are said', () => {
  const sentences = [
    'left biceps two plus right ankle absent',
    'right patellar three plus',
    'left triceps absent',
    'right biceps one plus',
    'left patellar four plus left ankle absent',
  ];
  let watched: Recogniser;
  let unwatched: Recogniser;
  beforeAll(async () => {
    watched = await examEarInNode({ weights, pronunciations, watched: always });
    unwatched = await examEarInNode({ weights, pronunciations });
    for (const ear of [watched, unwatched]) await ear.listenFor(reflexes);
  });
  afterAll(() => Promise.all([watched.close(), unwatched.close()]));

  /** What was shown after each piece of a sound. */
  async function shown(ear: Recogniser, sound: Sound, ms = 30): Promise<readonly string[]> {
    const all: string[] = [];
    await ear.start();
    for (const piece of pieces(sound, ms)) all.push((await ear.feed(piece)).join(' '));
    return all;
  }

  test.each(sentences)('looking ahead changes nothing of what is heard: %s', async (sentence) => {
    for (const [voice, ms] of [
      ['slt', 70],
      ['awb', 110],
      ['kal16', 45],
    ] as const) {
      const sound = await spoken(sentence, voice);
      const again = [reflexes, oneOf(sentence)];
      await shown(unwatched, sound, ms);
      const plain = [await unwatched.finish(), await unwatched.reconsider(again)];
      const words = await shown(watched, sound, ms);
      expect([await watched.finish(), await watched.reconsider(again)]).toEqual(plain);
      // It did look.
      expect(words).toContain(sentence);
    }
  });

  test('a machine with no time to look shows no less than one that never looks', async () => {
    // The first look takes all the time there ever is.
    const clock = [0, 0];
    const watched = () => clock.shift() ?? 1e9;
    const busy = await examEarInNode({ weights, pronunciations, watched });
    await busy.listenFor(reflexes);
    for (const sentence of sentences) {
      const sound = await spoken(sentence);
      const plain = await shown(unwatched, sound);
      for (const [i, words] of (await shown(busy, sound)).entries()) {
        expect(words.startsWith(plain[i] ?? '')).toBe(true);
      }
    }
    await busy.close();
  });

  test('first words are shown within 300 ms of sound after speech was noticed', async () => {
    const waits: number[] = [];
    for (const sentence of sentences) {
      for (const voice of ['slt', 'awb', 'rms'] as const) {
        const sound = joined([silence(500), await spoken(sentence, voice)]);
        const endpointer = createEndpointer();
        let began: number | undefined;
        let wait: number | undefined;
        await watched.start();
        for (const [i, piece] of pieces(sound, 30).entries()) {
          for (const event of endpointer.push(piece)) {
            if (event.type === 'start') began ??= i * 30;
            if (event.type !== 'sound' || began === undefined) continue;
            const words = await watched.feed(event.sound);
            if (words.length > 0) wait ??= i * 30 - began;
          }
        }
        waits.push(wait ?? Number.POSITIVE_INFINITY);
      }
    }
    waits.sort((a, b) => a - b);
    expect(waits[Math.floor(waits.length / 2)]).toBeLessThanOrEqual(300);
  });

  test('a side is not shown before it can be told', async () => {
    for (const side of ['left', 'right']) {
      for (const voice of ['slt', 'awb', 'rms', 'kal16'] as const) {
        const words = await shown(watched, await spoken(`${side} ankle absent`, voice));
        const other = side === 'left' ? 'right' : 'left';
        expect(words.filter((text) => text.startsWith(other))).toEqual([]);
      }
    }
  });

  test('what turns out to be talk is shown no more', async () => {
    const talk = 'and how have you been sleeping since we saw you last week';
    expect((await shown(watched, await spoken(talk))).at(-1)).toBe('');
  });

  test('words are placed where they sound, within 40 ms', async () => {
    const shifts = Array.from({ length: 17 }, (_, i) => (i - 8) * 20);
    const loudness = shifts.map(() => 0);
    for (const voice of ['slt', 'awb', 'rms', 'kal16'] as const) {
      for (const sentence of sentences) {
        const sound = await spoken(sentence, voice);
        await shown(unwatched, sound);
        const { best } = await unwatched.finish();
        expect(best?.words.map(({ word }) => word).join(' ')).toBe(sentence);
        const levels = createLevels().of(sound);
        for (const [i, shift] of shifts.entries()) {
          for (const { startMs, endMs } of best?.words ?? []) {
            const within = levels.slice((startMs + shift) / frameMs, (endMs + shift) / frameMs);
            const heard = within.map((level) => Math.max(-50, level));
            loudness[i] = (loudness[i] ?? 0) + heard.reduce((a, b) => a + b, 0) / within.length;
          }
        }
      }
    }
    // Moved to either side, their times hold more of the quiet between them.
    const loudest = shifts[loudness.indexOf(Math.max(...loudness))] ?? Number.NaN;
    expect(Math.abs(loudest)).toBeLessThanOrEqual(40);
  });

  test('looks take a share of the time, and what was saved at most', () => {
    let now = 0;
    const allowance = new Allowance(() => now, { share: 0.1, most: 50 });
    let spent = 0;
    const work = (): true => {
      now += 10;
      spent += 10;
      return true;
    };
    while (now < 10_000) {
      if (allowance.spend(work) === undefined) now += 5;
    }
    expect(spent).toBeGreaterThan(900);
    expect(spent).toBeLessThanOrEqual(0.1 * now + 50 + 10);
    now += 60_000;
    spent = 0;
    while (allowance.spend(work) !== undefined);
    expect(spent).toBeLessThanOrEqual(70);
  });
});

const wide = modelOf('pocketsphinx-en-us');
const folder = wide.debian?.folder ?? '';
if (existsSync(folder)) {
  recogniserContract(
    'the exam ear with the wide-band model',
    () =>
      earsInNode({
        weights,
        pronunciations,
        loadFile: async (name) => {
          if (name === 'feat_params.json') {
            return new TextEncoder().encode(JSON.stringify(wide.frontEnd));
          }
          const own = wide.files.some(({ path }) => path === name);
          return filesIn(own ? folder : packagedModel())(name);
        },
      }),
    { calibration: calibrations.both, doubtful },
  );
} else {
  test.skip(`SKIPPED, the exam ear with the wide-band model: ${folder} is not here`, () => {});
}

test('weights that are missing or damaged are told in one line', async () => {
  const nowhere = new URL('./no-such-file.bin', import.meta.url);
  await expect(earsInNode({ weights: nowhere, pronunciations })).rejects.toMatchObject({
    code: 'not-found',
    message: expect.stringMatching(/^speech model: .*no-such-file\.bin cannot be read; .*[^\n]$/),
  });
  const wrong = new URL('./ears.test.ts', import.meta.url);
  await expect(earsInNode({ weights: wrong, pronunciations })).rejects.toMatchObject({
    code: 'corrupt',
  });
});

test('the weights are those of the model card, and small enough for the repository', async () => {
  const bytes = await readFile(weights);
  const card = await readFile(new URL('README.md', weights), 'utf8');
  expect(card).toContain(createHash('sha256').update(bytes).digest('hex'));
  expect(bytes.length).toBeLessThanOrEqual(2_000_000);
});

test('talk is doubted and told over the same stretch of sound', () => {
  expect(tuning.talk.unheard).toBe(calibrations.both.unheard);
});

/** What an ear finds of sentences, in nats; what is not named it did not hear. */
type Opinion = Readonly<Record<string, number>>;

/** The best of a network's sentences for one ear. The networks here say one sentence or a few. */
const heardOf =
  (opinion: Opinion) =>
  (sentences: readonly string[]): Path | undefined => {
    const known = sentences.filter((sentence) => opinion[sentence] !== undefined);
    const [best] = known.sort((a, b) => (opinion[b] ?? 0) - (opinion[a] ?? 0));
    if (best === undefined) return undefined;
    const words = best.split(' ').map((word) => ({ word, startMs: 0, endMs: 0 }));
    return { words, score: opinion[best] ?? 0 };
  };

/** Two ears, begun, of which each hears again as it is told to. */
async function earsThatHear(
  exam: (networks: readonly WordNetwork[]) => readonly (Path | undefined)[],
  of: Parameters<typeof together>[1]['of'],
): Promise<Recogniser> {
  const ears = together(
    {
      start: async () => {},
      feed: async () => [],
      reconsider: async (networks: readonly WordNetwork[]) => exam(networks),
    } as unknown as Recogniser,
    { of, ahead: () => undefined, forget() {}, close() {} },
  );
  await ears.start();
  return ears;
}

/** Own words against their rivals, weighed by both: how far the own lead. */
async function weighed(own: string, rivals: readonly string[], exam: Opinion, mixture: Opinion) {
  const all = [own, ...rivals];
  const said = new Map([[oneOf(own), [own]] as const, [oneOf(...rivals), rivals] as const]);
  const sentencesOf = (network: WordNetwork): readonly string[] =>
    said.get(network) ??
    all.filter((sentence) => JSON.stringify(oneOf(sentence)) === JSON.stringify(network));
  const paths = (opinion: Opinion) => (networks: readonly WordNetwork[]) =>
    networks.map((network) => heardOf(opinion)(sentencesOf(network)));
  const ears = await earsThatHear(paths(exam), (_, networks) => paths(mixture)(networks));
  const [first, second] = await ears.reconsider([...said.keys()]);
  return {
    lead: (first?.score ?? Number.NEGATIVE_INFINITY) - (second?.score ?? Number.NEGATIVE_INFINITY),
  };
}

describe('two ears', () => {
  const left = 'left two';
  const right = 'right two';
  const grade = 'left three';
  const path = (sentence: string, score: number) => heardOf({ [sentence]: score })([sentence]);

  test('where both find the same, they are surer together than either', async () => {
    const exam = { [left]: 0, [right]: -9 };
    const mixture = { [left]: 0, [right]: -50 };
    const { lead } = await weighed(left, [right], exam, mixture);
    expect(lead).toBeGreaterThan(9);
  });

  test.each([10, 20])(
    'an objection of the mixture models counts, though the exam ear leads by %d',
    async (by) => {
      const exam = { [left]: 0, [right]: -by };
      const mixture = { [left]: -60, [right]: 0 };
      const { lead } = await weighed(left, [right], exam, mixture);
      expect(lead).toBe(0);
    },
  );

  test('however far the exam ear leads, an objection leaves little of it', async () => {
    const exam = { [left]: 0, [right]: -500 };
    const mixture = { [left]: -60, [right]: 0 };
    const { lead } = await weighed(left, [right], exam, mixture);
    expect(lead).toBeLessThanOrEqual(10);
  });

  test.each([
    ['in doubt the mixture models hear again without what the room gave back', 10, 2],
    ['where both are sure they hear once', 30, 1],
  ])('%s', async (_name, lead, times) => {
    const fed = Float32Array.from({ length: 16_000 }, (_, i) => Math.sin(i * i * 1e-4));
    const heard: Sound[] = [];
    const ears = await earsThatHear(
      () => [path(left, 0), path(right, -lead)],
      (sound) => {
        heard.push(sound);
        // The raw sound makes them object, what is left of it makes them agree.
        return heard.length < times
          ? [path(left, -60), path(right, 0)]
          : [path(left, 0), path(right, -60)];
      },
    );
    await ears.feed(fed);
    const [own, rival] = await ears.reconsider([oneOf(left), oneOf(right)]);
    expect((own?.score ?? 0) - (rival?.score ?? 0)).toBeGreaterThan(lead);
    expect(heard).toHaveLength(times);
    expect(heard[0]).toEqual(fed);
    if (times === 2) expect(heard[1]).toEqual(withoutReverberation(fed));
  });

  test('how well its pieces fit is told by the exam ear', async () => {
    const weakest = { word: -3, pause: -1 };
    const own = {
      words: left.split(' ').map((word) => ({ word, startMs: 0, endMs: 0 })),
      score: 0,
    };
    const ears = await earsThatHear(
      () => [{ ...own, weakest }, path(right, -9)],
      () => [path(left, 0), path(right, -50)],
    );
    const [heard] = await ears.reconsider([oneOf(left), oneOf(right)]);
    expect(heard?.weakest).toEqual(weakest);
  });

  test('what they would rather have is not taken, though the exam ear finds it hardly worse', async () => {
    const exam = { [left]: 0, [right]: -2 };
    const mixture = { [left]: -60, [right]: 0 };
    const { lead } = await weighed(left, [right], exam, mixture);
    expect(lead).toBe(0);
  });

  test('their backing alone is not enough to record', async () => {
    const exam = { [left]: 0, [right]: 0 };
    const mixture = { [left]: 0, [right]: -500 };
    const { lead } = await weighed(left, [right], exam, mixture);
    const heard = { advantage: 1, margin: Math.abs(lead) };
    expect(certaintyOf(heard, calibrations.both).certainty).toBe('unsure');
  });

  test('different sentences, each the best for one of them, leave a doubt where neither leads by far', async () => {
    const exam = { [left]: -20, [right]: 0, [grade]: -25 };
    const mixture = { [left]: -30, [right]: -40, [grade]: 0 };
    const { lead } = await weighed(left, [right, grade], exam, mixture);
    expect(lead).toBeLessThan(0);
    // The one that leads is weighed against the nearest to itself, too (`app/understanding.ts`).
    const turned = await weighed(right, [left, grade], exam, mixture);
    const margin = Math.min(Math.abs(lead), Math.abs(turned.lead));
    expect(certaintyOf({ advantage: 1, margin }, calibrations.both).certainty).toBe('unsure');
  });

  test('how often a sentence is said counts where both weigh it again, too', async () => {
    const net = oneOf(right, grade);
    const rivals = {
      ...net,
      arcs: net.arcs.map((arc, i) => (i === 0 ? { ...arc, weight: 4 } : arc)),
    };
    const asked: (readonly WordNetwork[])[] = [];
    const ears = await earsThatHear(
      (networks) => {
        asked.push(networks);
        return networks.length === 2 ? [path(left, 0), path(right, -2)] : [];
      },
      () => [path(left, 0), path(grade, -2)],
    );
    await ears.reconsider([oneOf(left), rivals]);
    expect(asked[1]).toEqual([
      chain(left.split(' ')),
      chain(right.split(' '), 4),
      chain(grade.split(' ')),
    ]);
  });

  test('what the mixture models did not hear at all is doubtful, and so is what the exam ear did not', async () => {
    const only = await weighed(left, [right], { [left]: 0, [right]: -20 }, { [right]: 0 });
    expect(only.lead).toBe(0);
    const none = await weighed(left, [right], { [right]: 0 }, { [left]: 0, [right]: -50 });
    expect(Math.abs(none.lead)).toBeLessThanOrEqual(12);
  });
});

describe('the piece of a sentence that fits its own sound least', () => {
  const said = 'right biceps two plus';
  test.each(['slt', 'awb', 'rms', 'kal16'] as const)('as %s says it', async (voice) => {
    const ear = await examEarInNode({ weights, pronunciations });
    await ear.listenFor(reflexes);
    await ear.start();
    for (const piece of pieces(await spoken(said, voice), 100)) await ear.feed(piece);
    const { best } = await ear.finish();
    const as = async (words: string) => (await ear.reconsider([oneOf(words)]))[0]?.weakest;
    const own = await as(said);
    if (own === undefined) throw new Error('nothing was heard');
    expect(best?.weakest).toEqual(own);
    expect(own.word).toBeGreaterThan(-2);
    expect(own.pause).toBeGreaterThan(-1);
    // A word that was not said has next to none of its sounds; one left out, its own are in a pause or another word.
    expect((await as('right ankle two plus'))?.word).toBeLessThan(-5);
    expect((await as('left biceps two plus'))?.word).toBeLessThan(own.word);
    const without = await as('right biceps two');
    expect(Math.min(without?.word ?? 0, without?.pause ?? 0)).toBeLessThan(-4);
    await ear.close();
  });
});

describe('whether it is examination speech at all', () => {
  const words = [{ word: 'affirm', startMs: 0, endMs: 500 }];
  /** How far the sentence is ahead of any speech, where the exam ear has it `lead` nats ahead. */
  async function ahead(lead: number, opinion: () => number | undefined) {
    const recognition = { best: { words, score: lead }, anySpeech: 0, frames: 100 };
    const ears = together(
      { start: async () => {}, finish: async () => recognition } as unknown as Recogniser,
      { of: () => [], ahead: opinion, forget() {}, close() {} },
    );
    await ears.start();
    const { best, anySpeech } = await ears.finish();
    return (best?.score ?? 0) - anySpeech;
  }

  test('where the exam ear doubts it, the mixture models tell', async () => {
    const heard = async (opinion: () => number | undefined) => {
      const advantage = (await ahead(-8, opinion)) / (100 + (calibrations.both.unheard ?? 0));
      return certaintyOf({ advantage, margin: undefined }, calibrations.both).certainty;
    };
    expect(await heard(() => 10)).toBe('sure');
    expect(await heard(() => undefined)).toBe('foreign');
    expect(await heard(() => -200)).toBe('foreign');
  });

  test.each([3, -30])('where it has no doubt they are not asked: a lead of %d', async (lead) => {
    const asked = () => {
      throw new Error('asked');
    };
    expect(await ahead(lead, asked)).toBe(lead);
  });
});

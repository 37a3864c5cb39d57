import { describe, expect, test, vi } from 'vitest';
import { english } from '../../src/app/language.ts';
import { freeWordsCalibration } from '../../src/app/models/calibration.ts';
import { fitted } from '../../src/engines/free/fit.ts';
import { Line, type LineWorker } from '../../src/engines/free/line.ts';
import { recogniserOf } from '../../src/engines/free/recogniser.ts';
import type { Transcriber, Transcript } from '../../src/engines/free/transcriber.ts';
import { createTyped } from '../../src/engines/typed/transcriber.ts';
import { createVosk } from '../../src/engines/vosk/transcriber.ts';
import { createWhisper } from '../../src/engines/whisper/transcriber.ts';
import { certaintyOf } from '../../src/interpret/index.ts';
import { PortError, type Sound } from '../../src/ports.ts';
import { hear, recogniserContract } from './contract.ts';
import { oneOf, reflexes } from './network.ts';

const letters = 2 ** 15;
/** A sentence as sound that only the stand-in understands: a letter every 50 ms. */
const written = async (sentence: string): Promise<Sound> => {
  const sound = new Float32Array((sentence.length + 8) * 800);
  [...sentence].forEach((letter, i) => {
    sound[(i + 6) * 800] = letter.charCodeAt(0) / letters;
  });
  return sound;
};

/** An engine of free words that writes down what `written` laid into the sound. */
function standIn(): Transcriber {
  let text = '';
  let samples = 0;
  let words: { word: string; startMs: number; endMs: number }[] = [];
  const take = (sound: Sound): void => {
    for (const sample of sound) {
      samples += 1;
      const letter = Math.round(sample * letters);
      if (letter < 32 || letter > 126) continue;
      const ms = samples / 16;
      const char = String.fromCharCode(letter);
      if (/[a-z]/.test(char)) {
        const last = words.at(-1);
        if (text === '' || last === undefined) words.push({ word: char, startMs: ms, endMs: ms });
        else words[words.length - 1] = { ...last, word: last.word + char, endMs: ms };
        text += char;
      } else {
        text = '';
      }
    }
  };
  const reset = (): void => {
    text = '';
    samples = 0;
    words = [];
  };
  return {
    id: 'stand-in',
    expect: async () => {},
    start: async () => reset(),
    async feed(sound) {
      take(sound);
      return words.map(({ word }) => word);
    },
    finish: async () => [words.map((word) => ({ ...word, probability: 0.9 }))],
    abort: async () => reset(),
    close: async () => {},
  };
}

recogniserContract('an engine of free words', async () => recogniserOf(standIn()), {
  calibration: freeWordsCalibration,
  say: written,
  pronounces: false,
});

/** A keyboard whose typist types what `written` laid into the sound. */
function typist(): Transcriber {
  const keyboard = createTyped((text) => text.split(/[^a-z]+/).filter((word) => word !== ''));
  let text = '';
  return {
    ...keyboard,
    async start() {
      text = '';
      await keyboard.start();
    },
    async feed(sound) {
      for (const sample of sound) {
        const letter = Math.round(sample * letters);
        if (letter >= 32 && letter <= 126) text += String.fromCharCode(letter);
      }
      return [];
    },
    async finish() {
      keyboard.type(text);
      return keyboard.finish();
    },
  };
}

recogniserContract('typed text', async () => recogniserOf(typist()), {
  calibration: freeWordsCalibration,
  say: written,
  pronounces: false,
  streams: false,
});

const transcript = (text: string, probability = 0.9): Transcript =>
  text
    .split(' ')
    .filter((word) => word !== '')
    .map((word, i) => ({ word, probability, startMs: i * 300, endMs: i * 300 + 250 }));
const words = (found: ReturnType<typeof fitted>) => found?.words.map(({ word }) => word).join(' ');

describe('what was written down is fitted into the grammar', () => {
  test.each([
    ['right patellar three plus', 'right patellar three plus'],
    ['right patella three plus', 'right patellar three plus'],
    ['um right patellar three plus', 'right patellar three plus'],
    ['right patellar three', 'right patellar three plus'],
    ['left biceps absent right ankle too plus', 'left biceps absent right ankle two plus'],
  ])('%s', (said, meant) => {
    expect(words(fitted(reflexes, transcript(said)))).toBe(meant);
  });

  test('each word has the time of the word that was written', () => {
    const [first, , last] =
      fitted(oneOf('left ankle absent'), transcript('left ankle absent'))?.words ?? [];
    expect(first).toEqual({ word: 'left', startMs: 0, endMs: 250 });
    expect(last).toEqual({ word: 'absent', startMs: 600, endMs: 850 });
  });

  test('nothing fits a network without a sentence', () => {
    const none = { states: 2, start: 0, finals: [1], arcs: [] };
    expect(fitted(none, transcript('left'))).toBeUndefined();
  });

  const way = (said: string, probability?: number) => {
    const share = fitted(reflexes, transcript(said, probability))?.share ?? -1;
    return certaintyOf({ advantage: share, margin: undefined }, freeWordsCalibration).certainty;
  };
  test.each([
    ['right patellar three plus', 'sure'],
    ['not right patellar three plus', 'unsure'],
    ['right patellar three plus i do not think', 'foreign'],
    ['right patellar three', 'unsure'],
    ['the weather has been very good', 'foreign'],
    ['right', 'foreign'],
  ])(
    '"%s" is %s: a word that the grammar lacks is never passed over for certain',
    (said, certainty) => {
      expect(way(said)).toBe(certainty);
    },
  );

  test('a word that the engine is not sure of leaves less between the sentence and its rival', () => {
    const margin = (probability: number): number => {
      const heard = transcript('right patellar three plus', probability);
      const own = fitted(oneOf('right patellar three plus'), heard)?.score ?? 0;
      return own - (fitted(oneOf('left patellar three plus'), heard)?.score ?? 0);
    };
    expect(margin(0.95)).toBeGreaterThan(margin(0.6));
    expect(margin(0.6)).toBeGreaterThan(margin(0.3));
  });

  test('of several ways to write it down, the one that fits counts', async () => {
    const both = {
      ...standIn(),
      finish: async () => [transcript('write a teller'), transcript('right ankle absent', 0.6)],
    };
    const recogniser = recogniserOf(both);
    await recogniser.listenFor(reflexes);
    const { best } = await hear(recogniser, new Float32Array(1600));
    expect(best?.words.map(({ word }) => word)).toEqual(['right', 'ankle', 'absent']);
  });

  test('the whole grammar is searched', () => {
    const { network } = english();
    const found = fitted(
      network('exam.open'),
      transcript('right patellar three plus left two plus'),
    );
    expect(words(found)).toBe('right patellar three plus left two plus');
    expect(found?.share).toBeCloseTo(1, 5);
  });
});

describe('typed text as an engine', () => {
  test('is taken as it was typed, for certain', async () => {
    const keyboard = createTyped(english().words);
    const recogniser = recogniserOf(keyboard);
    await recogniser.listenFor(english().network('exam.open'));
    await recogniser.start();
    keyboard.type('R KJ 3+, L 2+');
    const { best, anySpeech } = await recogniser.finish();
    expect(best?.words).not.toHaveLength(0);
    expect(best?.score).toBeGreaterThan(anySpeech);
    await recogniser.start();
    expect((await recogniser.finish()).best).toBeUndefined();
    await recogniser.close();
    await expect(recogniser.start()).rejects.toMatchObject({ code: 'closed' });
  });
});

/** A worker that answers as it is told; `undefined` is no answer. */
class Stand implements LineWorker {
  onmessage: LineWorker['onmessage'] = null;
  onerror: LineWorker['onerror'] = null;
  ended = false;
  readonly asked: unknown[] = [];
  readonly #answer: Willing;
  constructor(answer: Willing) {
    this.#answer = answer;
  }
  postMessage(message: unknown): void {
    this.asked.push(message);
    const answer = this.#answer(message);
    queueMicrotask(() => {
      if (answer !== undefined && !this.ended) {
        this.onmessage?.({ data: answer.with } as MessageEvent);
      }
    });
  }
  terminate(): void {
    this.ended = true;
  }
}

const failure = (promise: Promise<unknown>) =>
  promise.then(
    () => 'nothing was wrong',
    (why: unknown) => (why instanceof PortError ? why.code : why),
  );

describe('the line to a worker', () => {
  test('answers go to the asks in order', async () => {
    const line = new Line('Test', () => new Stand((message) => ({ with: message })));
    expect(await Promise.all([line.ask(1, 50), line.ask(2, 50)])).toEqual([1, 2]);
  });
  test('an overdue answer ends the worker, and everything owed fails', async () => {
    const worker = new Stand(() => undefined);
    const line = new Line('Test', () => worker);
    const owed = [line.ask(1, 20), line.ask(2, 1000)];
    expect(await Promise.all(owed.map(failure))).toEqual(['timed-out', 'timed-out']);
    expect(worker.ended).toBe(true);
    expect(await failure(line.ask(3, 20))).toBe('closed');
  });
  test('a worker that stops is told, and one that cannot start is', async () => {
    const worker = new Stand(() => undefined);
    const line = new Line('Test', () => worker);
    const owed = line.ask(1, 1000);
    worker.onerror?.({ message: 'out of memory' } as ErrorEvent);
    expect(await failure(owed)).toBe('corrupt');
    expect(line.alive).toBe(false);
    const none = () =>
      new Line('Test', () => {
        throw new ReferenceError('Worker is not defined');
      });
    expect(none).toThrow(/cannot start in this browser/);
  });
  test('no timer is left behind', async () => {
    vi.useFakeTimers();
    try {
      const line = new Line('Test', () => new Stand((message) => ({ with: message })));
      await line.ask(1, 1000);
      line.end(new PortError('closed', 'closed'));
      expect(vi.getTimerCount()).toBe(0);
    } finally {
      vi.useRealTimers();
    }
  });
});

type Willing = (message: unknown) => { readonly with: unknown } | undefined;

interface Asked {
  readonly action?: string;
  readonly is?: string;
}

/** `vosk-browser`'s worker as its interfaces say it answers. */
const vosk: Willing = (message) => {
  switch ((message as Asked).action) {
    case 'load':
      return { with: { event: 'load', result: true } };
    case 'create':
      return { with: undefined };
    case 'audioChunk':
      return { with: { event: 'partialresult', result: { partial: 'right ankle' } } };
    case 'retrieveFinalResult': {
      const result = ['right', 'ankle', 'absent'].map((word, i) => ({
        word,
        conf: 0.9,
        start: i,
        end: i + 1,
      }));
      return { with: { event: 'result', result: { result, text: '' } } };
    }
    case 'remove':
      return { with: { event: 'result', result: { text: '' } } };
    default:
      return undefined;
  }
};
const whisper: Willing = (message) =>
  (message as Asked).is === 'open'
    ? { with: { ok: true, text: '', probability: 1 } }
    : { with: { ok: true, text: ' Right ankle absent.', probability: 0.9 } };
const plain = (text: string) =>
  text
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');

describe.each([
  [
    'Vosk',
    vosk,
    (start: () => LineWorker, recycleAfter: number) =>
      createVosk({
        model: new Blob(),
        start,
        words: plain,
        loadMs: 50,
        answerMs: 50,
        recycleAfter,
      }),
  ],
  [
    'Whisper',
    whisper,
    (start: () => LineWorker, recycleAfter: number) =>
      createWhisper({
        files: new Map(),
        start,
        words: plain,
        loadMs: 50,
        answerMs: 50,
        recycleAfter,
      }),
  ],
])('%s in its worker', (_name, willing, create) => {
  const opened = async (answer = willing, recycleAfter = 100) => {
    const workers: Stand[] = [];
    const transcriber = await create(() => {
      const worker = new Stand(answer);
      workers.push(worker);
      return worker;
    }, recycleAfter);
    return { recogniser: recogniserOf(transcriber), workers };
  };

  test('is heard through the grammar', async () => {
    const { recogniser, workers } = await opened();
    await recogniser.listenFor(reflexes);
    const { best, frames } = await hear(recogniser, new Float32Array(16_000));
    expect(best?.words.map(({ word }) => word)).toEqual(['right', 'ankle', 'absent']);
    expect(frames).toBe(100);
    await recogniser.close();
    expect(workers[0]?.ended).toBe(true);
    expect(await failure(recogniser.start())).toBe('closed');
  });

  test('a model that does not load in time is told, and the worker is ended', async () => {
    const workers: Stand[] = [];
    const start = () => {
      workers.push(new Stand(() => undefined));
      return workers[0] as Stand;
    };
    expect(await failure(create(start, 1))).toBe('timed-out');
    expect(workers[0]?.ended).toBe(true);
  });

  test('an answer that never comes ends the utterance, and the next has a fresh worker', async () => {
    let deaf = true;
    const { recogniser, workers } = await opened((message) => {
      const { action, is } = message as Asked;
      return deaf && (action === 'retrieveFinalResult' || is === 'hear')
        ? undefined
        : willing(message);
    });
    await recogniser.listenFor(reflexes);
    expect(await failure(hear(recogniser, new Float32Array(1600)))).toBe('timed-out');
    expect(workers[0]?.ended).toBe(true);
    deaf = false;
    expect((await hear(recogniser, new Float32Array(1600))).best?.words).toHaveLength(3);
    expect(workers).toHaveLength(2);
  });

  test('its memory is given back after some utterances', async () => {
    const { recogniser, workers } = await opened(willing, 2);
    await recogniser.listenFor(reflexes);
    for (let i = 0; i < 5; i++) await hear(recogniser, new Float32Array(1600));
    expect(workers.map(({ ended }) => ended)).toEqual([true, true, false]);
  });
});

test('Vosk may write down only words of the grammar', async () => {
  const worker = new Stand(vosk);
  const transcriber = await createVosk({ model: new Blob(), start: () => worker, words: plain });
  const recogniser = recogniserOf(transcriber);
  await recogniser.listenFor(oneOf('left ankle absent'));
  await recogniser.start();
  const create = worker.asked.find((message) => (message as Asked).action === 'create');
  expect(create).toMatchObject({
    grammar: '["left","ankle","absent","[unk]"]',
    sampleRate: 16_000,
  });
  const sound = await recogniser.feed(new Float32Array([0.5, -0.25]));
  expect(sound).toEqual(['right', 'ankle']);
  expect(worker.asked.at(-1)).toMatchObject({ data: new Float32Array([16_384, -8192]) });
});

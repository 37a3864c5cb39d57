import { describe, expect, test, vi } from 'vitest';
import { earsInWorker, type RecogniserWorker } from '../../src/engines/ears/client.ts';
import type { Answer, Ask } from '../../src/engines/ears/protocol.ts';
import { PortError } from '../../src/ports.ts';
import { oneOf } from './network.ts';

/** A worker that answers as it is told; `undefined` leaves an ask without an answer. */
class Stand implements RecogniserWorker {
  onmessage: RecogniserWorker['onmessage'] = null;
  onerror: RecogniserWorker['onerror'] = null;
  ended = false;
  readonly asked: Ask[] = [];
  readonly #answer: (ask: Ask) => Answer | undefined;
  constructor(answer: (ask: Ask) => Answer | undefined) {
    this.#answer = answer;
  }
  postMessage(ask: Ask): void {
    this.asked.push(ask);
    const answer = this.#answer(ask);
    queueMicrotask(() => {
      if (answer !== undefined && !this.ended) {
        this.onmessage?.({ data: answer } as MessageEvent<Answer>);
      }
    });
  }
  terminate(): void {
    this.ended = true;
  }
  fail(message: string): void {
    this.onerror?.({ message } as ErrorEvent);
  }
}

const willing = ({ id, is }: Ask): Answer => ({
  id,
  ok: true,
  what: is === 'feed' ? ['left'] : undefined,
});
const deafTo =
  (name: Ask['is']) =>
  (ask: Ask): Answer | undefined =>
    ask.is === name ? undefined : willing(ask);

async function opened(...answers: readonly ((ask: Ask) => Answer | undefined)[]) {
  const workers: Stand[] = [];
  const recogniser = await earsInWorker({
    model: 'http://localhost/model/en-us/',
    weights: 'http://localhost/model/examear.bin',
    pronunciations: new Map([['clonus', ['K L OW N AH S']]]),
    start: () => {
      const worker = new Stand(answers[workers.length] ?? willing);
      workers.push(worker);
      return worker;
    },
    loadMs: 50,
    answerMs: 50,
  });
  return { recogniser, workers };
}

const failure = (promise: Promise<unknown>) =>
  promise.then(
    () => undefined,
    (why: unknown) => (why instanceof PortError ? why.code : why),
  );

describe('the recogniser in a worker', () => {
  test('is told where the model lies and how words sound', async () => {
    const { workers } = await opened();
    expect(workers[0]?.asked).toEqual([
      {
        id: 0,
        is: 'open',
        what: {
          model: 'http://localhost/model/en-us/',
          weights: 'http://localhost/model/examear.bin',
          files: new Map(),
          pronunciations: [['clonus', ['K L OW N AH S']]],
        },
      },
    ]);
  });

  test('a model that cannot be loaded is told as it is', async () => {
    const missing = (ask: Ask): Answer => ({
      id: ask.id,
      ok: false,
      code: 'not-found',
      message: 'speech model: mdef is missing; reload the page',
    });
    await expect(opened(missing)).rejects.toMatchObject({
      code: 'not-found',
      message: expect.stringContaining('mdef'),
    });
  });

  test('a load without an answer ends in time', async () => {
    expect(await failure(opened(deafTo('open')))).toBe('timed-out');
  });

  test('a browser without workers is told at once', async () => {
    const started = earsInWorker({
      model: '/model/',
      weights: '/examear.bin',
      pronunciations: new Map(),
      start: () => {
        throw new ReferenceError('Worker is not defined');
      },
    });
    expect(await failure(started)).toBe('unsupported');
  });

  test('sound goes over as a copy of its own', async () => {
    const { recogniser, workers } = await opened();
    const buffer = new Float32Array(1000).fill(0.5);
    expect(await recogniser.feed(buffer.subarray(10, 20))).toEqual(['left']);
    const sent = workers[0]?.asked.at(-1)?.what;
    expect(sent).toEqual(new Float32Array(10).fill(0.5));
    expect((sent as Float32Array).buffer.byteLength).toBe(40);
    expect(buffer.length).toBe(1000);
  });

  test('an overdue answer ends the worker, and everything it owed is settled', async () => {
    const { recogniser, workers } = await opened(deafTo('feed'));
    const owed = [recogniser.feed(new Float32Array(1)), recogniser.feed(new Float32Array(1))];
    expect(await Promise.all(owed.map(failure))).toEqual(['timed-out', 'timed-out']);
    expect(workers[0]?.ended).toBe(true);
    expect(await failure(recogniser.feed(new Float32Array(1)))).toBe('closed');
  });

  test('after a crash the next utterance has a fresh worker that listens for the same', async () => {
    const { recogniser, workers } = await opened();
    const network = oneOf('left');
    await recogniser.listenFor(network);
    await recogniser.start();
    workers[0]?.fail('out of memory');
    expect(await failure(recogniser.finish())).toBe('closed');
    await recogniser.start();
    expect(workers).toHaveLength(2);
    expect(workers[1]?.asked.map(({ is }) => is)).toEqual(['open', 'listenFor', 'start']);
    expect(workers[1]?.asked[1]?.what).toEqual(network);
  });

  test('closed, it answers no more and starts nothing', async () => {
    const { recogniser, workers } = await opened();
    await recogniser.close();
    expect(workers[0]?.ended).toBe(true);
    expect(await failure(recogniser.start())).toBe('closed');
    expect(workers).toHaveLength(1);
  });

  test('no timer is left behind', async () => {
    vi.useFakeTimers();
    try {
      const { recogniser } = await opened();
      await recogniser.start();
      expect(vi.getTimerCount()).toBe(0);
    } finally {
      vi.useRealTimers();
    }
  });
});

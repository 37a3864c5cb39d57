import { describe, expect, test } from 'vitest';
import { PortError, type Voice } from '../../src/ports.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import {
  type Answer,
  type Ask,
  type Flite,
  type FliteWorker,
  firstThatSpeaks,
  fliteInWorker,
  type Output,
  renderedVoice,
  type Speech,
  sentences,
  silentVoice,
  systemVoice,
} from '../../src/voice/index.ts';
import { trimmed } from '../../src/voice/trim.ts';

const speechOf = (text: string): Speech => ({
  samples: new Float32Array(text.length * 1600).fill(0.5),
  sampleRate: 16_000,
});

/** A synthesiser that notes what it was asked for. */
function noting(): Flite & { readonly asked: string[] } {
  const asked: string[] = [];
  return {
    asked,
    async render(text) {
      asked.push(text);
      return speechOf(text);
    },
  };
}
const played: Speech[] = [];
const output: Output = {
  async play(speech) {
    played.push(speech);
  },
};

describe('the embedded voice', () => {
  test('speaks a read-back sentence by sentence, in order', async () => {
    const flite = noting();
    played.length = 0;
    await renderedVoice(flite, { voice: 'slt' }, output).speak(
      'Right, three plus. Left, two plus.',
    );
    expect(flite.asked).toEqual(['Right, three plus.', 'Left, two plus.']);
    expect(played.map(({ samples }) => samples.length)).toEqual(
      flite.asked.map((text) => speechOf(text).samples.length),
    );
  });

  test('says again without rendering again, and gets ready beforehand', async () => {
    const flite = noting();
    const voice = renderedVoice(flite, { voice: 'slt' }, output);
    await voice.prepare(['Left, right or both?', 'Standing by.']);
    await voice.speak('Standing by.');
    await voice.speak('Left, right or both?');
    await voice.speak('Standing by.');
    expect(flite.asked).toEqual(['Left, right or both?', 'Standing by.']);
  });

  test('asks again for a sentence whose rendering failed', async () => {
    let tries = 0;
    const flaky: Flite = {
      async render(text) {
        tries++;
        if (tries === 1) throw new PortError('timed-out', 'late');
        return speechOf(text);
      },
    };
    const voice = renderedVoice(flaky, { voice: 'slt' }, output);
    await expect(voice.speak('Left.')).rejects.toMatchObject({ code: 'timed-out' });
    await voice.speak('Left.');
    expect(tries).toBe(2);
  });

  test('stops at once when told to, and does not go on to the next sentence', async () => {
    const stop = new AbortController();
    let started = 0;
    const endless: Output = {
      play: (_speech, signal) => {
        started++;
        return new Promise((resolve) => signal?.addEventListener('abort', () => resolve()));
      },
    };
    const speaking = renderedVoice(noting(), { voice: 'slt' }, endless).speak(
      'Right. Left.',
      stop.signal,
    );
    await new Promise((later) => setTimeout(later, 20));
    stop.abort();
    await speaking;
    expect(started).toBe(1);
  });

  test('keeps "L five." and "4 plus" whole', () => {
    expect(sentences('Left L five, reduced. Grade 0 to 4 plus?  Yes.')).toEqual([
      'Left L five, reduced.',
      'Grade 0 to 4 plus?',
      'Yes.',
    ]);
    expect(sentences('  ')).toEqual([]);
  });
});

describe('silence around a sentence is cut short', () => {
  test.each(['kal', 'kal16', 'slt', 'rms', 'awb'] as const)('%s', async (voice) => {
    const full = await fliteInNode().render('Left plantar, extensor.', { voice });
    const { samples, sampleRate } = trimmed(full);
    const before = samples.findIndex((x) => Math.abs(x) > 0.005);
    expect(before / sampleRate).toBeLessThanOrEqual(0.021);
    expect(samples.length).toBeLessThan(full.samples.length);
    const energy = (all: Float32Array) => all.reduce((sum, x) => sum + x * x, 0);
    expect(energy(samples) / energy(full.samples)).toBeGreaterThan(0.9999);
  });
});

/** A worker that answers with `respond`, or stays dumb. */
function fakeWorker(respond: ((ask: Ask) => Answer) | undefined): FliteWorker & { ended: boolean } {
  const worker: FliteWorker & { ended: boolean } = {
    ended: false,
    onmessage: null,
    onerror: null,
    postMessage(ask) {
      if (respond === undefined) return;
      const data = respond(ask);
      queueMicrotask(() => worker.onmessage?.({ data } as MessageEvent<Answer>));
    },
    terminate() {
      worker.ended = true;
    },
  };
  return worker;
}

describe('the synthesiser in a worker', () => {
  const manner = { voice: 'kal' } as const;

  test('answers each with its own speech', async () => {
    const flite = fliteInWorker(() =>
      fakeWorker(({ id, text }) => ({ id, is: 'speech', speech: speechOf(text) })),
    );
    const [left, both] = await Promise.all([
      flite.render('left', manner),
      flite.render('both sides', manner),
    ]);
    expect([left.samples.length, both.samples.length]).toEqual([6400, 16_000]);
  });

  test('hands on what went wrong', async () => {
    const flite = fliteInWorker(() =>
      fakeWorker(({ id }) => ({ id, is: 'failure', code: 'not-found', message: 'no file' })),
    );
    await expect(flite.render('left', manner)).rejects.toMatchObject({ code: 'not-found' });
  });

  test('is ended when it does not answer, and a fresh one is started', async () => {
    const workers = [
      fakeWorker(undefined),
      fakeWorker(({ id, text }) => ({ id, is: 'speech', speech: speechOf(text) })),
    ];
    let started = 0;
    const flite = fliteInWorker(() => workers[started++] ?? fakeWorker(undefined), 30);
    const owed = [flite.render('left', manner), flite.render('right', manner)];
    for (const one of owed) await expect(one).rejects.toMatchObject({ code: 'timed-out' });
    expect(workers[0]?.ended).toBe(true);
    expect((await flite.render('left', manner)).samples.length).toBe(6400);
  });

  test('settles at once when aborted, before or after the asking', async () => {
    const flite = fliteInWorker(() => fakeWorker(undefined));
    const stop = new AbortController();
    const speech = flite.render('left', manner, stop.signal);
    stop.abort();
    await expect(speech).rejects.toMatchObject({ code: 'aborted' });
    await expect(flite.render('left', manner, stop.signal)).rejects.toMatchObject({
      code: 'aborted',
    });
    flite.close();
  });

  test('says so where a browser refuses workers', async () => {
    const flite = fliteInWorker(() => {
      throw new Error('no workers here');
    });
    await expect(flite.render('left', manner)).rejects.toMatchObject({ code: 'unsupported' });
  });

  test('closing settles what is owed', async () => {
    const flite = fliteInWorker(() => fakeWorker(undefined));
    const speech = flite.render('left', manner);
    flite.close();
    await expect(speech).rejects.toMatchObject({ code: 'closed' });
  });
});

describe('which voice speaks', () => {
  const failing = (id: string): Voice => ({
    id,
    speak: () => Promise.reject(new PortError('unsupported', 'no')),
  });

  test('the next one says what a failed one could not, and keeps the word', async () => {
    const shown: string[] = [];
    const failed: string[] = [];
    const voice = firstThatSpeaks(
      [failing('system'), failing('flite'), silentVoice((text) => shown.push(text))],
      ({ id }) => failed.push(id),
    );
    expect(voice.id).toBe('system');
    await voice.speak('Left, three plus.');
    await voice.speak('Right, two plus.');
    expect(shown).toEqual(['Left, three plus.', 'Right, two plus.']);
    expect(failed).toEqual(['system', 'flite']);
    expect(voice.id).toBe('silent');
  });

  test('being interrupted is no failure', async () => {
    const stop = new AbortController();
    const interrupted: Voice = {
      id: 'system',
      speak: async () => {
        stop.abort();
        throw new PortError('unsupported', 'interrupted');
      },
    };
    const voice = firstThatSpeaks([interrupted, silentVoice()]);
    await voice.speak('Left.', stop.signal);
    expect(voice.id).toBe('system');
  });
});

describe('a voice of the system', () => {
  /** The browser's list of voices, which arrives late in some. */
  function synthesisWith(
    voices: readonly Partial<SpeechSynthesisVoice>[],
    late = false,
  ): SpeechSynthesis {
    let arrived = !late;
    const synthesis = Object.assign(new EventTarget(), {
      getVoices: () => (arrived ? voices : []),
      speak: () => undefined,
      cancel: () => undefined,
    });
    if (late) {
      setTimeout(() => {
        arrived = true;
        synthesis.dispatchEvent(new Event('voiceschanged'));
      }, 10);
    }
    return synthesis as unknown as SpeechSynthesis;
  }
  const local = { name: 'Local', lang: 'en-GB', localService: true, default: false };
  const remote = { name: 'Remote', lang: 'en-US', localService: false, default: true };

  test('is never one that sends the findings away, not even the default', async () => {
    expect(await systemVoice(synthesisWith([remote]))).toBeUndefined();
    expect((await systemVoice(synthesisWith([remote, local])))?.id).toBe('system:Local');
  });

  test('speaks the language', async () => {
    const french = { name: 'Français', lang: 'fr-FR', localService: true, default: true };
    expect((await systemVoice(synthesisWith([french, local])))?.id).toBe('system:Local');
    expect(await systemVoice(synthesisWith([french]))).toBeUndefined();
  });

  test('is waited for where the list comes late, and not where there is no speech', async () => {
    expect((await systemVoice(synthesisWith([local], true)))?.id).toBe('system:Local');
    expect(await systemVoice(undefined)).toBeUndefined();
  });
});

import { describe, expect, test, vi } from 'vitest';
import { type Browser, browserMicrophone } from '../../src/audio/microphone.ts';
import { PortError, type Sound } from '../../src/ports.ts';

/** A browser with a microphone that does as it is told. */
function standIn(rate = 16_000) {
  const track = Object.assign(new EventTarget(), { stop: vi.fn() });
  const stream = { getTracks: () => [track], getAudioTracks: () => [track] };
  const node = {
    port: { onmessage: null as unknown },
    connect: () => ({ connect: () => {} }),
    disconnect: vi.fn(),
  };
  const context = Object.assign(new EventTarget(), {
    sampleRate: rate,
    state: 'suspended',
    audioWorklet: { addModule: async () => {} },
    createMediaStreamSource: vi.fn(() => ({ connect: () => {}, disconnect: vi.fn() })),
    createGain: () => ({ gain: { value: 1 }, connect: () => {}, disconnect: () => {} }),
    destination: {},
    resume: vi.fn(async () => {
      context.state = 'running';
    }),
    close: async () => {},
  });
  const getUserMedia = vi.fn(
    async (_wanted: MediaStreamConstraints) => stream as unknown as MediaStream,
  );
  const make = vi.fn((_rate: number | undefined) => context as unknown as AudioContext);
  const browser: Browser = {
    devices: { getUserMedia },
    context: make,
    node: () => node as unknown as AudioWorkletNode,
  };
  let frame = 0;
  /** Gives sound, after so many frames of which nothing came. */
  const give = (sound: Sound, lost = 0) => {
    const at = frame + lost;
    frame = at + sound.length;
    (node.port.onmessage as (e: object) => void)({ data: { at, sound } });
  };
  return { browser, track, context, getUserMedia, make, give, node };
}

const failure = (promise: Promise<unknown>) =>
  promise.then(
    () => undefined,
    (why: unknown) => (why instanceof PortError ? why.code : why),
  );
const nothing = { sound: () => {}, lost: () => {} };

describe('the microphone', () => {
  // Names as in Media Capture and Streams (W3C), getUserMedia.
  test.each([
    ['NotAllowedError', 'denied'],
    ['NotFoundError', 'no-device'],
    ['NotReadableError', 'in-use'],
    ['AbortError', 'in-use'],
    ['TypeError', 'unsupported'],
  ])('%s is told as %s', async (name, code) => {
    const { browser, getUserMedia } = standIn();
    getUserMedia.mockRejectedValue(new DOMException('', name));
    expect(await failure(browserMicrophone({ browser }).listen(nothing))).toBe(code);
  });

  test('a page without a microphone at all says so', async () => {
    const browser: Browser = { ...standIn().browser, devices: undefined };
    expect(await failure(browserMicrophone({ browser }).listen(nothing))).toBe('unsupported');
  });

  test('a question that nobody answers ends, and a late yes opens nothing', async () => {
    const { browser, getUserMedia, track } = standIn();
    const stream = await getUserMedia({});
    let allow: (stream: MediaStream) => void = () => {};
    getUserMedia.mockReturnValue(
      new Promise((resolve) => {
        allow = resolve;
      }),
    );
    const microphone = browserMicrophone({ browser, askMs: 10 });
    expect(await failure(microphone.listen(nothing))).toBe('timed-out');
    allow(stream);
    await Promise.resolve();
    await Promise.resolve();
    expect(track.stop).toHaveBeenCalled();
  });

  test('asks for sound as it is, with echo cancellation said outright', async () => {
    const { browser, getUserMedia } = standIn();
    await browserMicrophone({ browser, echoCancellation: true }).listen(nothing);
    expect(getUserMedia.mock.calls[0]?.[0].audio).toMatchObject({
      echoCancellation: true,
      noiseSuppression: false,
      autoGainControl: false,
    });
  });

  test('gives sound at 16 kHz and its loudness, whatever the card gives', async () => {
    const { browser, give } = standIn(48_000);
    let samples = 0;
    const levels: number[] = [];
    await browserMicrophone({ browser, level: (rms) => levels.push(rms) }).listen({
      sound: (sound) => {
        samples += sound.length;
      },
      lost: () => {},
    });
    for (let i = 0; i < 100; i++) give(new Float32Array(1440).fill(0.25));
    expect(samples).toBeGreaterThan(47_000);
    expect(samples).toBeLessThanOrEqual(48_000);
    expect(levels.at(-1)).toBeCloseTo(0.25, 3);
  });

  test('a piece of sound that never came is told with its length, by the clock of the sound system', async () => {
    const { browser, give } = standIn(48_000);
    const gaps: number[] = [];
    await browserMicrophone({ browser }).listen({ ...nothing, gap: (ms) => gaps.push(ms) });
    for (let i = 0; i < 10; i++) give(new Float32Array(1440));
    expect(gaps).toEqual([]);
    give(new Float32Array(1440), 4800);
    give(new Float32Array(1440));
    expect(gaps).toEqual([100]);
  });

  test('so is the time in which the sound system slept', async () => {
    const { browser, context } = standIn();
    const gap = vi.fn();
    await browserMicrophone({ browser }).listen({ ...nothing, gap });
    context.dispatchEvent(new Event('statechange'));
    expect(gap).not.toHaveBeenCalled();
    context.state = 'interrupted';
    context.dispatchEvent(new Event('statechange'));
    await Promise.resolve();
    context.dispatchEvent(new Event('statechange'));
    expect(gap).toHaveBeenCalledOnce();
  });

  test('where the microphone has another rate than the context, the browser chooses', async () => {
    const { browser, context, make } = standIn(44_100);
    context.createMediaStreamSource.mockImplementationOnce(() => {
      throw new DOMException('different sample-rate', 'NotSupportedError');
    });
    await browserMicrophone({ browser }).listen(nothing);
    expect(make.mock.calls).toEqual([[16_000], [undefined]]);
  });

  test('unplugged, it says so once, and nothing comes after', async () => {
    const { browser, track, node } = standIn();
    const lost = vi.fn();
    await browserMicrophone({ browser }).listen({ sound: () => {}, lost });
    track.dispatchEvent(new Event('ended'));
    track.dispatchEvent(new Event('ended'));
    expect(lost).toHaveBeenCalledOnce();
    expect(lost.mock.calls[0]?.[0]).toMatchObject({ code: 'unplugged' });
    expect(node.port.onmessage).toBeNull();
  });

  test('taken by another program for long, it is lost; for a moment, it is not', async () => {
    vi.useFakeTimers();
    try {
      const { browser, track } = standIn();
      const lost = vi.fn();
      await browserMicrophone({ browser, mutedMs: 2000 }).listen({ sound: () => {}, lost });
      track.dispatchEvent(new Event('mute'));
      vi.advanceTimersByTime(1900);
      track.dispatchEvent(new Event('unmute'));
      vi.advanceTimersByTime(5000);
      expect(lost).not.toHaveBeenCalled();
      track.dispatchEvent(new Event('mute'));
      vi.advanceTimersByTime(2000);
      expect(lost.mock.calls[0]?.[0]).toMatchObject({ code: 'in-use' });
    } finally {
      vi.useRealTimers();
    }
  });

  test('a sound system put to sleep is woken, until it is stopped', async () => {
    const { browser, context, track } = standIn();
    const { stop } = await browserMicrophone({ browser }).listen(nothing);
    expect(context.resume).toHaveBeenCalledTimes(1);
    context.state = 'interrupted';
    context.dispatchEvent(new Event('statechange'));
    expect(context.resume).toHaveBeenCalledTimes(2);
    await stop();
    expect(track.stop).toHaveBeenCalled();
    context.state = 'suspended';
    context.dispatchEvent(new Event('statechange'));
    expect(context.resume).toHaveBeenCalledTimes(2);
  });

  test('listening again uses the same sound system', async () => {
    const { browser, make } = standIn();
    const microphone = browserMicrophone({ browser });
    await (await microphone.listen(nothing)).stop();
    await microphone.listen(nothing);
    expect(make).toHaveBeenCalledOnce();
  });
});

import type { Page } from 'playwright-core';
import type { Sound } from '../../src/ports.ts';

/** The air of a room: whatever a test plays reaches the page's microphone. */
export interface Air {
  /** Plays sound of 16 kHz to the microphone; resolves with the room's time at which it begins, ms. */
  play(sound: Sound): Promise<number>;
  /** Resolves when it is so late in the room. */
  until(time: number): Promise<void>;
  /** Plays what the page said so far to the microphone once more. */
  again(): Promise<void>;
  /** Pulls the microphone out; what is played then is heard by nobody. */
  unplug(): Promise<void>;
  plugIn(): Promise<void>;
  /** When the page's own sounds began and were broken off. */
  voice(): Promise<readonly Voiced[]>;
}

export interface Voiced {
  readonly is: 'begun' | 'stopped';
  /** Room's time, ms: of the clock by which sound passes, which waits where the machine is too busy for it. */
  readonly at: number;
  /** The page's time, ms, to be compared with its events'. */
  readonly pageAt: number;
}

/**
 * Gives the page a microphone that hears what the test plays and, where `echo` is not 0, what the page
 * plays itself, a little later and softer, as it does in a room. To be called before the page listens.
 *
 * @param hiss height of a noise that is always there; without, the page is told when nobody speaks for
 *   long, for such a microphone is dead
 */
export async function openAir(page: Page, echo: number, hiss = 0): Promise<Air> {
  await page.evaluate(
    ({ echo: loudness, hiss: height }) => {
      const { start, stop } = AudioBufferSourceNode.prototype;
      let room: AudioContext | undefined;
      let air: MediaStreamAudioDestinationNode | undefined;
      let gone = false;
      const played: AudioBuffer[] = [];
      const voice: { is: 'begun' | 'stopped'; at: number; pageAt: number }[] = [];
      const time = () => (room?.currentTime ?? 0) * 1000;
      const echoes = new WeakMap<AudioBufferSourceNode, AudioBufferSourceNode>();
      const toMicrophone = (buffer: AudioBuffer, gain: number, after: number) => {
        if (room === undefined || air === undefined) return undefined;
        const source = new AudioBufferSourceNode(room, { buffer });
        source.connect(new GainNode(room, { gain })).connect(air);
        start.call(source, room.currentTime + after);
        return source;
      };
      navigator.mediaDevices.getUserMedia = async () => {
        if (gone) throw new DOMException('', 'NotFoundError');
        room ??= new AudioContext({ sampleRate: 16_000 });
        air = room.createMediaStreamDestination();
        if (height > 0) {
          const noise = room.createBuffer(1, 16_000, 16_000);
          noise.copyToChannel(
            Float32Array.from({ length: 16_000 }, (_, i) => height * Math.sin(i * i)),
            0,
          );
          const always = new AudioBufferSourceNode(room, { buffer: noise, loop: true });
          always.connect(air);
          start.call(always);
        }
        await room.resume();
        return air.stream;
      };
      AudioBufferSourceNode.prototype.start = function (...args) {
        // An earcon or a breath is no speech.
        if (this.buffer !== null && this.buffer.duration > 0.3) {
          voice.push({ is: 'begun', at: time(), pageAt: performance.now() });
          played.push(this.buffer);
          const back = loudness > 0 ? toMicrophone(this.buffer, loudness, 0.04) : undefined;
          if (back !== undefined) echoes.set(this, back);
        }
        start.apply(this, args);
      };
      AudioBufferSourceNode.prototype.stop = function (...args) {
        voice.push({ is: 'stopped', at: time(), pageAt: performance.now() });
        // What was on its way through the air still arrives.
        const back = echoes.get(this);
        if (back !== undefined && room !== undefined) stop.call(back, room.currentTime + 0.04);
        stop.apply(this, args);
      };
      Object.assign(globalThis, {
        air: {
          voice,
          time,
          unplug: () => {
            gone = true;
            const [track] = air?.stream.getTracks() ?? [];
            air = undefined;
            track?.stop();
            // A page cannot pull a plug; the browser tells of it by this event.
            track?.dispatchEvent(new Event('ended'));
          },
          plugIn: () => {
            gone = false;
            navigator.mediaDevices.dispatchEvent(new Event('devicechange'));
          },
          again: () => played.slice().map((buffer) => toMicrophone(buffer, 0.6, 0)),
          play: (base64: string) => {
            if (room === undefined) throw new Error('the page does not listen yet');
            const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
            const samples = new Float32Array(bytes.buffer);
            const buffer = room.createBuffer(1, samples.length, 16_000);
            buffer.copyToChannel(samples, 0);
            const at = time();
            toMicrophone(buffer, 1, 0);
            return at;
          },
        },
      });
    },
    { echo, hiss },
  );
  return {
    // As one string: numbers go to the page one by one, half a minute of them in seconds of silence.
    play: (sound) =>
      page.evaluate(
        (base64) => Reflect.get(globalThis, 'air').play(base64),
        Buffer.from(sound.buffer, sound.byteOffset, sound.byteLength).toString('base64'),
      ),
    until: async (time) => {
      await page.waitForFunction((at) => Reflect.get(globalThis, 'air').time() >= at, time, {
        polling: 10,
        timeout: 120_000,
      });
    },
    unplug: () => page.evaluate(() => Reflect.get(globalThis, 'air').unplug()),
    plugIn: () => page.evaluate(() => Reflect.get(globalThis, 'air').plugIn()),
    again: () => page.evaluate(() => void Reflect.get(globalThis, 'air').again()),
    voice: () => page.evaluate(() => Reflect.get(globalThis, 'air').voice),
  };
}

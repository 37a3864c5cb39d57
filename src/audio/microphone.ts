import { type Microphone, PortError, soundRate } from '../ports.ts';
import { createGapFinder } from './gap.ts';
import { loudness } from './level.ts';
import { audioMessages } from './messages.ts';
import { createResampler } from './resample.ts';
import workletUrl from './worklet.ts?worker&url';

/** What the audio thread hands over: sound, and the frame of its clock at which it begins. */
interface Piece {
  readonly at: number;
  readonly sound: Float32Array;
}

/** The little of the browser that is needed here, so that a test can stand in for it. */
export interface Browser {
  /** Absent where the page may have no microphone at all. */
  readonly devices: Pick<MediaDevices, 'getUserMedia'> | undefined;
  context(rate: number | undefined): AudioContext;
  node(context: AudioContext): AudioWorkletNode;
}

export interface MicrophoneOptions {
  /** Takes the loudness of each 30 ms, root mean square, 0 to 1, for a meter. */
  readonly level?: (rms: number) => void;
  /** Whether the browser takes its own sound out of what it hears. Set once, never switched. */
  readonly echoCancellation?: boolean;
  readonly browser?: Browser;
  /** How long the question for the microphone may stay unanswered, ms. */
  readonly askMs?: number;
  /** How long the sound system may take to start, ms. */
  readonly startMs?: number;
  /** How long the microphone may give nothing at all before it counts as taken away, ms. */
  readonly mutedMs?: number;
}

/**
 * The microphone through an audio worklet.
 *
 * - `listen` Must settle: `denied`, `no-device`, `in-use`, `unsupported` or `timed-out` where it
 *   cannot listen.
 * - `lost` Must be called once at most, and nothing comes after it.
 * - A sound system that the browser suspends Must be resumed; it is one for the page's life.
 */
export function browserMicrophone(options: MicrophoneOptions = {}): Microphone {
  const { browser = pageBrowser, echoCancellation = false } = options;
  const { askMs = 60_000, startMs = 5000, mutedMs = 2000 } = options;
  let kept: Promise<AudioContext> | undefined;

  /** Firefox takes no microphone at another rate than its own; then the page resamples. */
  const attach = async (stream: MediaStream): Promise<[AudioContext, AudioNode]> => {
    const make = async (rate: number | undefined): Promise<AudioContext> => {
      const context = browser.context(rate);
      await context.audioWorklet.addModule(workletUrl);
      return context;
    };
    kept ??= make(soundRate).catch(() => make(undefined));
    const context = await kept;
    try {
      return [context, context.createMediaStreamSource(stream)];
    } catch {
      await context.close();
      kept = make(undefined);
      const own = await kept;
      return [own, own.createMediaStreamSource(stream)];
    }
  };

  return {
    async listen(on) {
      const stream = await ask(browser, echoCancellation, askMs);
      const release = (): void => {
        for (const track of stream.getTracks()) track.stop();
      };
      try {
        const [context, source] = await within(attach(stream), startMs).catch((cause: unknown) => {
          kept = undefined; // the next try starts afresh
          throw cause;
        });
        const node = browser.node(context);
        const resampler = createResampler(context.sampleRate);
        const silent = context.createGain();
        silent.gain.value = 0;
        const track = stream.getAudioTracks()[0];
        let muted: ReturnType<typeof setTimeout> | undefined;
        let listening = true;

        /** Since when the sound system has been asleep; its own clock stands still then. */
        let asleep: number | undefined;
        const resume = (): void => {
          if (!listening) return;
          if (context.state === 'running') {
            if (asleep !== undefined) on.gap?.(performance.now() - asleep);
            asleep = undefined;
            return;
          }
          asleep ??= performance.now();
          void context.resume().catch(() => {});
        };
        const stop = (): void => {
          if (!listening) return;
          listening = false;
          clearTimeout(muted);
          node.port.onmessage = null;
          context.removeEventListener('statechange', resume);
          source.disconnect();
          node.disconnect();
          silent.disconnect();
          release();
        };
        const lose = (why: PortError): void => {
          if (!listening) return;
          stop();
          on.lost(why);
        };

        const gaps = createGapFinder(context.sampleRate);
        node.port.onmessage = ({ data }: MessageEvent<Piece>) => {
          const lostMs = gaps.take(data.at, data.sound.length, performance.now());
          if (lostMs > 0) on.gap?.(lostMs);
          const sound = resampler.push(data.sound);
          options.level?.(loudness(sound));
          if (sound.length > 0) on.sound(sound);
        };
        track?.addEventListener('ended', () =>
          lose(new PortError('unplugged', audioMessages.gone)),
        );
        track?.addEventListener('mute', () => {
          muted = setTimeout(() => lose(new PortError('in-use', audioMessages.taken)), mutedMs);
        });
        track?.addEventListener('unmute', () => clearTimeout(muted));
        context.addEventListener('statechange', resume);
        source.connect(node);
        // Some browsers run a node only if its sound goes somewhere.
        node.connect(silent).connect(context.destination);
        await within(context.resume(), startMs).catch((why: unknown) => {
          stop();
          throw why;
        });
        return { stop: async () => stop() };
      } catch (cause) {
        release();
        throw cause instanceof PortError
          ? cause
          : new PortError('unsupported', audioMessages.unable, {
              cause,
            });
      }
    },
  };
}

const refusals: Readonly<Record<string, readonly [PortError['code'], string]>> = {
  NotAllowedError: ['denied', audioMessages.denied],
  SecurityError: ['denied', audioMessages.denied],
  NotFoundError: ['no-device', audioMessages.absent],
  OverconstrainedError: ['no-device', audioMessages.noFitting],
  NotReadableError: ['in-use', audioMessages.held],
  AbortError: ['in-use', audioMessages.notOpened],
};

async function ask(
  { devices }: Browser,
  echoCancellation: boolean,
  askMs: number,
): Promise<MediaStream> {
  if (devices === undefined) {
    throw new PortError('unsupported', audioMessages.notHere);
  }
  const asked = devices.getUserMedia({
    // What cleans speech for people on a line spoils it for a recogniser.
    audio: { echoCancellation, noiseSuppression: false, autoGainControl: false, channelCount: 1 },
  });
  try {
    return await within(asked, askMs);
  } catch (cause) {
    // Allowed after all, but too late: nobody listens any more.
    asked.then(
      (late) => late.getTracks().forEach((track) => void track.stop()),
      () => {},
    );
    if (cause instanceof PortError) throw cause;
    const name = cause instanceof Error || cause instanceof DOMException ? cause.name : '';
    const [code, message] = refusals[name] ?? ['unsupported', audioMessages.failed(`${cause}`)];
    throw new PortError(code, message, { cause });
  }
}

function within<T>(promise: Promise<T>, limitMs: number): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(
      () => reject(new PortError('timed-out', audioMessages.notStarted)),
      limitMs,
    );
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/**
 * Seconds that the sound system may keep before it hands on: nobody hears this sound come back, and a busy
 * machine drops less of it than from the shortest buffers.
 */
const latencyHint = 0.05;

const pageBrowser: Browser = {
  get devices() {
    return navigator.mediaDevices;
  },
  context: (sampleRate) =>
    new AudioContext({ latencyHint, ...(sampleRate === undefined ? {} : { sampleRate }) }),
  node: (context) => new AudioWorkletNode(context, 'capture', { numberOfInputs: 1 }),
};

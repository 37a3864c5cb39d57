import { PortError } from '../ports.ts';
import type { Speech } from './flite/flite.ts';
import { voiceMessages } from './messages.ts';

/** Where rendered speech is made audible. */
export interface Output {
  /**
   * Resolves when the last sample has left, or at once when the signal stops it.
   * @throws PortError `denied` when the sound does not start
   */
  play(speech: Speech, signal?: AbortSignal): Promise<void>;
}

/** Beyond the sound's own length, before it is taken for stuck. */
const patienceMs = 2000;

/** Plays through an audio context of the page, at whatever rate the speech has. */
export function audioOutput(context: AudioContext): Output {
  return {
    play({ samples, sampleRate }, signal) {
      if (samples.length === 0 || signal?.aborted) return Promise.resolve();
      return new Promise((resolve, reject) => {
        // A context may have been suspended by the browser; asking again does no harm.
        if (context.state !== 'running') context.resume().catch(() => undefined);
        const buffer = context.createBuffer(1, samples.length, sampleRate);
        buffer.copyToChannel(samples, 0);
        const source = new AudioBufferSourceNode(context, { buffer });
        source.connect(context.destination);
        const finish = () => {
          clearTimeout(timer);
          signal?.removeEventListener('abort', stop);
          source.onended = null;
          source.disconnect();
        };
        const stop = () => {
          source.stop();
          finish();
          resolve();
        };
        const timer = setTimeout(
          () => {
            finish();
            reject(new PortError('denied', voiceMessages.heldBack));
          },
          (samples.length / sampleRate) * 1000 + patienceMs,
        );
        source.onended = () => {
          finish();
          // What was handed over is heard a little later, and must not be heard by the microphone.
          setTimeout(resolve, (context.outputLatency || 0) * 1000);
        };
        signal?.addEventListener('abort', stop);
        source.start();
      });
    },
  };
}

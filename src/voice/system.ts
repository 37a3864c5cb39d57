import { PortError, type Voice } from '../ports.ts';
import { voiceMessages } from './messages.ts';

/** How a system voice is to speak; 1 is its own rate and pitch, volume is 0 to 1. */
export interface SystemManner {
  readonly language?: string;
  readonly rate?: number;
  readonly pitch?: number;
  readonly volume?: number;
}

/** Browsers fill their list of voices late; longer than this it is taken to be empty. */
const listLimitMs = 1000;
/** Some browsers never say that speech ended: no text takes longer than this. */
const limitMs = (text: string, rate: number): number => 4000 + (150 * text.length) / rate;

/**
 * A voice of the operating system that speaks on this device, or nothing where there is none. A
 * remote voice, which would send the findings away, is never taken, whatever its language.
 */
export async function systemVoice(
  synthesis: SpeechSynthesis | undefined = globalThis.speechSynthesis,
  manner: SystemManner = {},
): Promise<Voice | undefined> {
  if (synthesis === undefined) return undefined;
  const { language = 'en', rate = 1, pitch = 1, volume = 1 } = manner;
  const fits = (await voicesOf(synthesis)).filter(
    (voice) => voice.localService && voice.lang.toLowerCase().startsWith(language),
  );
  const chosen = fits.find((voice) => voice.default) ?? fits[0];
  if (chosen === undefined) return undefined;

  return {
    id: `system:${chosen.name}`,
    speak(text, signal) {
      if (text.trim() === '' || signal?.aborted) return Promise.resolve();
      return new Promise((resolve, reject) => {
        const utterance = new SpeechSynthesisUtterance(text);
        Object.assign(utterance, { voice: chosen, lang: chosen.lang, rate, pitch, volume });
        const finish = (why?: PortError) => {
          clearTimeout(timer);
          signal?.removeEventListener('abort', stop);
          utterance.onend = null;
          utterance.onerror = null;
          if (why === undefined) resolve();
          else reject(why);
        };
        const stop = () => {
          finish();
          synthesis.cancel();
        };
        const timer = setTimeout(
          () => {
            finish(new PortError('timed-out', voiceMessages.unfinished));
            synthesis.cancel();
          },
          limitMs(text, rate),
        );
        utterance.onend = () => finish();
        utterance.onerror = ({ error }) => {
          const denied = error === 'not-allowed';
          finish(
            new PortError(
              denied ? 'denied' : 'unsupported',
              denied ? voiceMessages.systemDenied(error) : voiceMessages.systemFailed(error),
            ),
          );
        };
        signal?.addEventListener('abort', stop);
        synthesis.speak(utterance);
      });
    },
  };
}

async function voicesOf(synthesis: SpeechSynthesis): Promise<readonly SpeechSynthesisVoice[]> {
  const now = synthesis.getVoices();
  if (now.length > 0) return now;
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      synthesis.removeEventListener('voiceschanged', done);
      resolve(synthesis.getVoices());
    };
    const timer = setTimeout(done, listLimitMs);
    synthesis.addEventListener('voiceschanged', done);
  });
}

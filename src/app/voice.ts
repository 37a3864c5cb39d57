import type { Voice } from '../ports.ts';
import type { Messages, Settings } from '../ui/index.ts';
import {
  audioOutput,
  firstThatSpeaks,
  fliteInWorker,
  renderedVoice,
  silentVoice,
  systemVoice,
} from '../voice/index.ts';

type Manner = Pick<Settings, 'voice' | 'pace' | 'volume'>;

/**
 * The voice for the examiner's wishes: a local voice of the device, else the built-in one, else
 * none. A voice is made once for each manner, the synthesiser once for all.
 */
export function createVoices(
  context: () => AudioContext,
  { language, dialogue }: Pick<Messages, 'language' | 'dialogue'>,
): {
  readonly voice: (settings: Settings) => Promise<Voice | undefined>;
  readonly flite: ReturnType<typeof fliteInWorker>;
} {
  const { text, corrected } = dialogue;
  /** Sentences that come in every exam, rendered before they are needed. */
  const ready = [text.standingBy, text.listening, text.complete, corrected('')];
  const flite = fliteInWorker();
  let made: { readonly key: string; readonly voice: Promise<Voice> } | undefined;

  async function make({ voice, pace, volume }: Manner): Promise<Voice> {
    const output = audioOutput(context());
    const embedded = renderedVoice(
      flite,
      { voice: 'slt', stretch: 1 / pace },
      {
        play: ({ samples, sampleRate }, signal) =>
          output.play({ samples: samples.map((sample) => sample * volume), sampleRate }, signal),
      },
    );
    void embedded.prepare(ready);
    const system =
      voice === 'auto' ? await systemVoice(undefined, { language, rate: pace, volume }) : undefined;
    return firstThatSpeaks(
      system === undefined ? [embedded, silentVoice()] : [system, embedded, silentVoice()],
    );
  }

  return {
    flite,
    async voice({ voice, pace, volume }) {
      if (voice === 'silent' || volume === 0) return undefined;
      const key = `${voice}/${pace}/${volume}`;
      if (made?.key !== key) made = { key, voice: make({ voice, pace, volume }) };
      return made.voice;
    },
  };
}

import { chosenLanguage, type LanguageId } from '../exam/language.ts';

/** What can go wrong with sound, each in one line that says what to do next, in English. */
const english = {
  absent: 'there is no microphone; plug one in',
  noFitting: 'there is no microphone that fits; plug in another',
  denied: 'the microphone is not allowed; allow it in the address bar',
  held: 'another program holds the microphone; close it and try again',
  notOpened: 'the microphone could not be opened; close other programs and try again',
  failed: (why: string) => `the microphone failed: ${why}`,
  gone: 'the microphone is gone; plug it in and start again',
  taken: 'another program took the microphone; close it',
  unable: 'this browser cannot listen; type findings instead',
  notHere: 'this page may not listen; open it over https or localhost',
  notStarted: 'the microphone did not start; click and try again',
  wav: {
    empty: 'the file is empty; choose a WAV recording',
    noSound: 'the file ends before any sound; it is cut short or not a WAV file',
    cutShort: (had: string, promised: string) =>
      `the file is cut short: ${had} of ${promised} are there; copy the recording again`,
    seconds: (length: string) => `${length} s`,
    other: 'the file is not a WAV recording; convert it to WAV first',
    noForm: 'the WAV file does not say how its sound is laid out',
    silent: 'the WAV file holds no sound; record again',
    misplaced: 'the WAV file has no sound where it should be',
    broken: 'the WAV header is broken',
    unsupported: (what: string) => `${what} cannot be heard; save the recording as 16-bit PCM WAV`,
    encoding: (code: number) => `WAV encoding ${code}`,
    channels: (n: number) => `a WAV of ${n} channels`,
    rate: (hertz: number) => `a WAV of ${hertz} Hz`,
    bits: (n: number) => `a WAV of ${n}-bit samples`,
  },
};

export type AudioMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, AudioMessages>> = { en: english };
export const audioMessages: AudioMessages = byLanguage[chosenLanguage];

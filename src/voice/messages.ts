import { chosenLanguage, type LanguageId } from '../exam/language.ts';

/** What can go wrong with a voice, each in one line, in English. */
const english = {
  heldBack: 'The browser holds back the sound; press a key or the page.',
  unfinished: 'The system voice did not finish speaking.',
  systemFailed: (why: string) => `The system voice failed (${why}).`,
  systemDenied: (why: string) => `The system voice failed (${why}); press a key or the page first.`,
  stopped: 'Stopped before it was spoken.',
  ended: (why: string) => `The voice stopped: ${why}`,
  notLoaded: 'it did not load',
  noAnswer: 'The voice did not answer; it is started anew.',
  unable: 'The voice cannot start in this browser.',
  closed: 'The voice was closed.',
  failed: (why: string) => `The voice failed: ${why}`,
  missing: 'The voice file flite.wasm is missing; reload the page.',
  notInstalled: 'The voice file is not installed; run "npm ci".',
  unreadable: 'The voice file flite.wasm cannot be read; reload or reinstall it.',
  unknown: (voice: string, known: string) => `There is no voice "${voice}"; use ${known}.`,
  noSound: (voice: string, why: string) => `The voice ${voice} made no sound. ${why}`.trim(),
  outOfRange: {
    stretch: (value: number, least: number, most: number) =>
      `stretch is ${value}; use ${least} to ${most}.`,
    pitch: (value: number, least: number, most: number) =>
      `pitch is ${value}; use ${least} to ${most}.`,
  },
};

export type VoiceMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, VoiceMessages>> = { en: english };
export const voiceMessages: VoiceMessages = byLanguage[chosenLanguage];

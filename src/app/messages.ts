import { chosenLanguage, type LanguageId } from '../exam/language.ts';

/** What the app itself has to say of what went wrong, in English. */
const english = {
  /** What nobody foresaw, in the words of the browser or the library that it came from. */
  unforeseen: (why: string) => why,
  frame: {
    unable: 'This browser does not let it be done here.',
    stopped: 'Stopped; nothing more is sent.',
  },
};

export type AppMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, AppMessages>> = { en: english };
export const appMessages: AppMessages = byLanguage[chosenLanguage];

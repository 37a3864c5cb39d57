/**
 * A language that the program hears, speaks, writes and shows, by its tag (BCP 47): a folder of
 * `grammars/`, and a row in every table of messages, which the compiler asks for.
 */
export type LanguageId = 'en';

/** The language of this program: of its page and its command line. Nothing else says which. */
export const chosenLanguage: LanguageId = 'en';

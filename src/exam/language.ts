/**
 * A language that the program hears, speaks, writes and shows, by its tag (BCP 47): a folder of
 * `grammars/`, and a row in every table of messages, which the compiler asks for.
 */
export type LanguageId = 'en';

/** Languages that the program speaks, writes and shows, by their tags (BCP 47). */
export type LanguageId = 'en';

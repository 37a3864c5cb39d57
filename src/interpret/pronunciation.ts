/** Phones of a word, in the model's own set; several where it is said in several ways. */
export type Pronunciations = ReadonlyMap<string, readonly (readonly string[])[]>;

/**
 * Reads lines of `word PHONE PHONE …`; another way to say a word is `word(2)`. `#` begins a comment.
 * @throws SyntaxError naming the line that is neither
 */
export function parsePronunciations(text: string, source: string): Pronunciations {
  const words = new Map<string, (readonly string[])[]>();
  for (const [i, line] of text.split('\n').entries()) {
    const stripped = line.replace(/#.*/, '').trim();
    if (stripped === '') continue;
    const found = /^(?<word>[\w'-]+)(?:\(\d+\))?\s+(?<phones>[A-Z]{1,2}(?:\s+[A-Z]{1,2})*)$/.exec(stripped);
    const { word, phones } = found?.groups ?? {};
    if (word === undefined || phones === undefined) {
      throw new SyntaxError(`${source}:${i + 1}: a line is "word PHONES", found "${stripped}"`);
    }
    words.set(word, [...(words.get(word) ?? []), phones.split(/\s+/)]);
  }
  return words;
}

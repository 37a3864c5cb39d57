import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';

/** Word to its pronunciations, each a row of ARPAbet phones: `clonus` to `['K L OW N AH S']`. */
export type Pronunciations = ReadonlyMap<string, readonly string[]>;

/** The model's phones (CMU ARPAbet without stress), beside silence and noises. */
export const phones = (
  'AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W ' +
  'Y Z ZH'
).split(' ');

/**
 * Reads a pronouncing dictionary: `word PH PH …` a line, a second pronunciation as `word(2)`,
 * comments after `#` or `;;`.
 *
 * @throws PortError `corrupt` naming source and line for what is no pronunciation
 */
export function readPronunciations(text: string, source = 'pronunciations'): Pronunciations {
  const found = new Map<string, string[]>();
  text.split(/\r?\n/).forEach((line, index) => {
    const row = line.replace(/(?:#|;;).*$/, '').trim();
    if (row === '') return;
    const [entry = '', ...sounds] = row.split(/\s+/);
    const unknown = sounds.filter((phone) => !phones.includes(phone));
    if (sounds.length === 0 || unknown.length > 0) {
      throw new PortError(
        'corrupt',
        unknown.length > 0
          ? engineMessages.words.unknownPhones(`${source}:${index + 1}`, row, unknown.join(', '))
          : engineMessages.words.noPhones(`${source}:${index + 1}`, row),
      );
    }
    const word = entry.replace(/\(\d+\)$/, '');
    found.set(word, [...(found.get(word) ?? []), sounds.join(' ')]);
  });
  return found;
}

/**
 * The pronunciations of `words` from the model's large dictionary, in one pass over it. Words that
 * it lacks are absent from the answer.
 */
export function lookUp(words: ReadonlySet<string>, dictionary: string): Pronunciations {
  const found = new Map<string, string[]>();
  let at = 0;
  while (at < dictionary.length) {
    const next = dictionary.indexOf('\n', at);
    const end = next < 0 ? dictionary.length : next;
    const space = dictionary.indexOf(' ', at);
    if (space > at && space < end) {
      let word = dictionary.slice(at, space);
      if (word.endsWith(')')) word = word.replace(/\(\d+\)$/, '');
      if (words.has(word)) {
        const sounds = dictionary.slice(space + 1, end).trim();
        found.set(word, [...(found.get(word) ?? []), sounds]);
      }
    }
    at = end + 1;
  }
  return found;
}

import { type WordNetwork, wordsOf } from '../../grammar/network.ts';
import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import { lookUp, type Pronunciations, phones } from '../soundswallower/dictionary.ts';

/** Number of a phone among the network's labels; 0 is none. */
const numbers = new Map(phones.map((phone, i) => [phone, i + 1]));

/** A word's pronunciations, as labels. */
export type Lexicon = ReadonlyMap<string, readonly (readonly number[])[]>;

/** Words in the project's own sounds or the general dictionary's, kept once found. */
export class Dictionary {
  readonly #own: Pronunciations;
  readonly #general: string;
  readonly #known = new Map<string, readonly (readonly number[])[]>();

  /** @param general lines of `word PH PH …`, as the embedded model brings them */
  constructor(own: Pronunciations, general: string) {
    this.#own = own;
    this.#general = general;
  }

  /** @throws PortError `unknown-word` naming every word that has no sounds */
  lexicon(networks: readonly WordNetwork[]): Lexicon {
    const fresh = new Set(networks.flatMap(wordsOf).filter((word) => !this.#known.has(word)));
    if (fresh.size > 0) {
      const general = lookUp(fresh, this.#general);
      const unknown: string[] = [];
      for (const word of fresh) {
        const rows = this.#own.get(word) ?? general.get(word);
        if (rows === undefined) unknown.push(word);
        else this.#known.set(word, distinct(rows));
      }
      if (unknown.length > 0) {
        throw new PortError('unknown-word', engineMessages.words.unpronounced(unknown.join(', ')));
      }
    }
    return this.#known;
  }
}

const distinct = (rows: readonly string[]): readonly (readonly number[])[] =>
  [...new Set(rows)].map((row) => row.split(' ').map((phone) => numbers.get(phone) ?? 0));

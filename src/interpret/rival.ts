import {
  type Arc,
  match,
  type Reading,
  type Sentence,
  type WordNetwork,
} from '../grammar/index.ts';
import type { Language } from './language.ts';

/** What a slot's words decide. A slip in any of these makes a wrong record. */
type Stake = 'side' | 'site' | 'value' | 'modality' | 'command' | 'attention';

const stakeOf: Readonly<Record<string, Stake>> = {
  side: 'side',
  site: 'site',
  value: 'value',
  qualifier: 'value',
  off: 'value',
  number: 'value',
  beats: 'value',
  doubt: 'value',
  modality: 'modality',
  command: 'command',
  attention: 'attention',
};

/** A stretch of words that fills a slot by one rule of the grammar. */
export interface Slot {
  readonly stake: Stake;
  readonly rule: string;
  /** Words from `from` up to, not including, `to`. */
  readonly from: number;
  readonly to: number;
  readonly tags: string;
}

/**
 * The slots of a reading, each by the widest rule that decides nothing else, so that a grade's
 * rivals are all grades and not only those of one form.
 */
export function slotsOf(language: Language, reading: Reading): readonly Slot[] {
  const slots: Slot[] = [];
  const open: { rule: string; from: number; tags: string[] }[] = [];
  for (const { mark, at } of reading) {
    if (mark.is === 'enter') open.push({ rule: mark.rule, from: at, tags: [] });
    else if (mark.is === 'tag') for (const frame of open) frame.tags.push(mark.text);
    else {
      const frame = open.pop();
      if (frame === undefined || at === frame.from) continue;
      const stake = stakeOfRule(language, frame.rule);
      if (stake === undefined || frame.tags.length === 0) continue;
      // The wider rule closes later and takes the place of the narrower ones within it.
      while (slots.at(-1) !== undefined && (slots.at(-1)?.from ?? -1) >= frame.from) slots.pop();
      slots.push({ stake, rule: frame.rule, from: frame.from, to: at, tags: frame.tags.join(' ') });
    }
  }
  return slots;
}

const stakes = new WeakMap<Language, Map<string, Stake | undefined>>();

/** The one stake of all that a rule can say, where there is one. */
function stakeOfRule(language: Language, rule: string): Stake | undefined {
  const known = stakes.get(language) ?? new Map<string, Stake | undefined>();
  stakes.set(language, known);
  if (known.has(rule)) return known.get(rule);
  const all = new Set<Stake | undefined>();
  for (const { tags } of language.sentences(rule) ?? [{ tags: ['item'] }]) {
    for (const word of tags.join(' ').split(' ')) {
      if (word !== '') all.add(stakeOf[word.split('=', 1)[0] ?? '']);
    }
  }
  const [only] = all;
  const stake = all.size === 1 ? only : undefined;
  known.set(rule, stake);
  return stake;
}

/** Rules whose words mean nothing by themselves. */
const littleRules = ['common.is', 'common.and', 'reflex.one.jerk', 'reflex.jerks'];
/** What it weighs that a little word came or went unasked. */
const rarely = Math.log(1 / 8);

const littleWords = (language: Language): ReadonlySet<string> =>
  new Set(
    littleRules.flatMap((rule) => (language.sentences(rule) ?? []).flatMap(({ words }) => words)),
  );

/** How often just these words are said, among the sentences of their rule. */
function usualOf(sentences: readonly Sentence[], words: readonly string[]): number {
  const said = words.join(' ');
  const same = sentences.filter((sentence) => sentence.words.join(' ') === said);
  return same.length === 0 ? 0 : Math.max(...same.map(({ weight }) => weight));
}

/**
 * Every sentence that differs from these words in exactly one slot's meaning, weighted by how often
 * it is said against them. Heard again under it, the sound's best score says how near the nearest
 * mistake came.
 *
 * @returns undefined when the words are not a sentence of the rule, or nothing in them has a rival
 */
export function rivals(
  language: Language,
  rule: string,
  words: readonly string[],
): WordNetwork | undefined {
  const reading = match(language.program(rule), words);
  if (reading === undefined) return undefined;
  // Two rows of states: the upper as the words go, the lower once a slot has gone otherwise.
  //   0 -> 1 -> 2 -> 3      the words so far
  //         \ (a rival of the slot from 1 to 2)
  //          -> 6 -> 7      the rest of them; only the end of this row is final
  const n = words.length;
  const lower = (i: number): number => n + 1 + i;
  const arcs: Arc[] = [];
  for (const [i, word] of words.entries()) {
    arcs.push({ from: i, to: i + 1, word }, { from: lower(i), to: lower(i + 1), word });
  }
  let states = 2 * n + 2;
  const little = littleWords(language);
  let found = false;
  for (const slot of slotsOf(language, reading)) {
    const branches = new Map<string, number>();
    const all = language.sentences(slot.rule) ?? [];
    const usual = usualOf(all, words.slice(slot.from, slot.to));
    // A rival need not be well said: a little word before the slot may have come or gone.
    const entry = states++;
    arcs.push({ from: slot.from, to: entry, word: '' });
    for (const word of little) arcs.push({ from: slot.from, to: entry, word, weight: rarely });
    if (little.has(words[slot.from - 1] ?? '')) {
      arcs.push({ from: slot.from - 1, to: entry, word: '', weight: rarely });
    }
    const entries = arcs.length;
    for (const sentence of all) {
      if (sentence.tags.join(' ') === slot.tags || sentence.words.length === 0) continue;
      let from = entry;
      for (const [k, word] of sentence.words.entries()) {
        const last = k === sentence.words.length - 1;
        const key = last ? `${from} ${word} end` : `${from} ${word}`;
        const known = branches.get(key);
        const to = known ?? (last ? lower(slot.to) : states++);
        if (known === undefined) {
          branches.set(key, to);
          arcs.push({ from, to, word, weight: last ? sentence.weight - usual : 0 });
        }
        from = to;
      }
    }
    found ||= arcs.length > entries;
  }
  if (!found) return undefined;
  return { states, start: 0, finals: [lower(n)], arcs };
}

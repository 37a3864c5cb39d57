import {
  type Arc,
  match,
  type Reading,
  type Sentence,
  tagsOf,
  type WordNetwork,
} from '../grammar/index.ts';
import type { Mistake } from './alike.ts';
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
  readonly rule: string;
  /** Words from `from` up to, not including, `to`. */
  readonly from: number;
  readonly to: number;
  readonly tags: string;
}

/** A stretch of words that a rule makes, with the tags in it. */
interface Frame extends Slot {
  /** Each tag with its place in the reading. */
  readonly each: readonly { readonly text: string; readonly at: number }[];
}

/** Every rule entered in a reading, inner ones before those that they stand in. */
function framesOf(reading: Reading): readonly Frame[] {
  const frames: Frame[] = [];
  const open: { rule: string; from: number; each: { text: string; at: number }[] }[] = [];
  for (const [place, { mark, at }] of reading.entries()) {
    if (mark.is === 'enter') open.push({ rule: mark.rule, from: at, each: [] });
    else if (mark.is === 'tag') {
      for (const frame of open) frame.each.push({ text: mark.text, at: place });
    } else {
      const frame = open.pop();
      if (frame === undefined) continue;
      frames.push({ ...frame, to: at, tags: frame.each.map(({ text }) => text).join(' ') });
    }
  }
  return frames;
}

/** A rule with more sentences than this that decides several things at once is no slot. */
const mostMixed = 300;

/**
 * The slots of a reading, each by the widest rule that decides nothing else, so that a grade's
 * rivals are all grades and not only those of one form. What no such rule decides (a gait, which is
 * value and site in one) is a slot by the narrowest rule that could have made something else of it.
 */
export function slotsOf(language: Language, reading: Reading): readonly Slot[] {
  const slots: Slot[] = [];
  const decided = new Set<number>();
  const frames = framesOf(reading).filter(({ from, to, each }) => to > from && each.length > 0);
  const add = (frame: Frame): void => {
    for (const { at } of frame.each) decided.add(at);
    slots.push(frame);
  };
  for (const frame of frames) {
    if (stakeOfRule(language, frame.rule) === undefined) continue;
    // The wider rule closes later and takes the place of the narrower ones within it.
    while (slots.at(-1) !== undefined && (slots.at(-1)?.from ?? -1) >= frame.from) slots.pop();
    add(frame);
  }
  for (const frame of frames) {
    const open = frame.each.some(
      ({ text, at }) => !decided.has(at) && stakesOf(text).some((one) => one !== undefined),
    );
    if (open && isMixed(language, frame)) add(frame);
  }
  return slots;
}

/** Whether a rule could have made something else, of not too many things. */
function isMixed(language: Language, { rule, tags }: Frame): boolean {
  const all = language.sentences(rule);
  return (
    all !== undefined &&
    all.length <= mostMixed &&
    all.some((sentence) => sentence.tags.join(' ') !== tags && sentence.words.length > 0)
  );
}

/** What each word of a tag has at stake, where it has. */
const stakesOf = (tag: string): readonly (Stake | undefined)[] =>
  tag.split(' ').flatMap((word) => (word === '' ? [] : [stakeOf[word.split('=', 1)[0] ?? '']]));

const stakes = new WeakMap<Language, Map<string, Stake | undefined>>();

/** The one stake of all that a rule can say, where there is one. */
function stakeOfRule(language: Language, rule: string): Stake | undefined {
  const known = stakes.get(language) ?? new Map<string, Stake | undefined>();
  stakes.set(language, known);
  if (known.has(rule)) return known.get(rule);
  const all = new Set<Stake | undefined>();
  for (const { tags } of language.sentences(rule) ?? [{ tags: ['item'] }]) {
    for (const stake of stakesOf(tags.join(' '))) all.add(stake);
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
function usualOf(sentences: readonly Sentence[], said: string): number {
  const same = sentences.filter((sentence) => sentence.words.join(' ') === said);
  return same.length === 0 ? 0 : Math.max(...same.map(({ weight }) => weight));
}

/** A word taken for another by its sound, come or gone, where the sentence then means something else. */
interface Mishearing {
  readonly from: number;
  readonly to: number;
  readonly word: string;
  /** What it weighs that it is easily taken for the other. */
  readonly weight: number;
}

function* mishearings(
  language: Language,
  rule: string,
  words: readonly string[],
  own: string,
): Generator<Mishearing> {
  const other = (changed: readonly string[]): boolean => {
    const reading = match(language.program(rule), changed);
    return reading !== undefined && tagsOf(reading).join(' ') !== own;
  };
  const alike = (word: string): readonly Mistake[] => language.alike.get(word) ?? [];
  for (let at = 0; at <= words.length; at++) {
    for (const { word, nats: weight } of alike('')) {
      if (other(words.toSpliced(at, 0, word))) yield { from: at, to: at, word, weight };
    }
    for (const { word, nats: weight } of at < words.length ? alike(words[at] ?? '') : []) {
      const changed = word === '' ? words.toSpliced(at, 1) : words.with(at, word);
      if (other(changed)) yield { from: at, to: at + 1, word, weight };
    }
  }
}

/**
 * Every sentence that differs from these words in exactly one slot's meaning, weighted by how often
 * it is said against them, or in one word that sounds alike. Heard again under it, the sound's best
 * score says how near the nearest mistake came.
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
    const own = words.slice(slot.from, slot.to).join(' ');
    const usual = usualOf(all, own);
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
      // Where the same words can be read in two ways, they are read as they were.
      if (sentence.words.join(' ') === own) continue;
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
  const own = tagsOf(reading).join(' ');
  for (const { from, to, word, weight } of mishearings(language, rule, words, own)) {
    arcs.push({ from, to: lower(to), word, weight });
    found = true;
  }
  if (!found) return undefined;
  return { states, start: 0, finals: [lower(n)], arcs };
}

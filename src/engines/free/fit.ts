import type { WordNetwork } from '../../grammar/network.ts';
import type { HeardWord } from '../../ports.ts';
import type { Transcript } from './transcriber.ts';

/** The sentence of a network that a transcript is most likely a record of. */
export interface Fit {
  readonly words: readonly HeardWord[];
  /** Natural-log likelihood of the transcript, were this the sentence that was said. */
  readonly score: number;
  /**
   * How much better it fits than any words whatever, of the most there can be: 1 where every word
   * was written down as the network has it, below 0 where any other words would do as well.
   */
  readonly share: number;
}

/**
 * What an engine does to words, as natural logs. Choices, not measurements: no such engine could be
 * heard with here. A foreign word has the price of one word out of 20,000, any of them alike.
 */
const anyWord = -10;
/** A word written down that was not said; a word said that was not written down. */
const added = anyWord - 3;
const missed = -6;
/** No engine is surer of a word than this. */
const most = 0.97;

const bounded = (probability: number): number => Math.min(most, Math.max(0.03, probability));

/** Likelihood of a transcript as any words whatever, from no grammar. */
const anySpeech = (transcript: Transcript): number =>
  transcript.reduce((sum, { probability }) => sum + Math.log(bounded(probability)) + anyWord, 0);

/** A sentence that was not written down whole, or had words beside it, has no larger share. */
const mostInPart = 0.5;

/** How likely a word is to be written for another: next to it in letters, or not at all alike. */
function alike(said: string, written: string): number {
  const longest = Math.max(said.length, written.length);
  return -2 + (anyWord + 2) * (lettersApart(said, written) / longest);
}

/** Fewest letters to change, add or take away (Levenshtein). */
function lettersApart(a: string, b: string): number {
  let above = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = (above[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      row.push(Math.min(change, (above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1));
    }
    above = row;
  }
  return above[b.length] ?? 0;
}

/** How a state was come to, after so many words of the transcript. */
interface Step {
  readonly score: number;
  readonly before: Step | undefined;
  readonly word?: HeardWord;
  /** Every word so far was written down, and nothing else was. */
  readonly whole: boolean;
}

/** The best fit of a transcript in a network; nothing when the network has no sentence. */
export function fitted(network: WordNetwork, transcript: Transcript): Fit | undefined {
  const from = new Map<number, WordNetwork['arcs'][number][]>();
  for (const arc of network.arcs) {
    const known = from.get(arc.from);
    if (known === undefined) from.set(arc.from, [arc]);
    else known.push(arc);
  }
  let row: (Step | undefined)[] = [];
  row[network.start] = { score: 0, before: undefined, whole: true };
  spread(row, 0);
  for (const { word, probability, startMs, endMs } of transcript) {
    const p = bounded(probability);
    const right = Math.log(p);
    const wrong = Math.log(1 - p);
    const likeness = new Map<string, number>();
    const next: (Step | undefined)[] = [];
    const better = (state: number, score: number): boolean =>
      score > (next[state]?.score ?? Number.NEGATIVE_INFINITY);
    for (const [state, at] of row.entries()) {
      if (at === undefined) continue;
      const beside = at.score + added + right;
      if (better(state, beside)) next[state] = { score: beside, before: at, whole: false };
      for (const arc of from.get(state) ?? []) {
        if (arc.word === '') continue;
        let price = likeness.get(arc.word);
        if (price === undefined) {
          price = arc.word === word ? right : wrong + alike(arc.word, word);
          likeness.set(arc.word, price);
        }
        const score = at.score + price;
        if (!better(arc.to, score)) continue;
        const heard = { word: arc.word, startMs, endMs };
        next[arc.to] = { score, before: at, word: heard, whole: at.whole };
      }
    }
    row = next;
    spread(row, endMs);
  }
  let best: Step | undefined;
  for (const state of network.finals) {
    const at = row[state];
    if (at !== undefined && at.score > (best?.score ?? Number.NEGATIVE_INFINITY)) best = at;
  }
  if (best === undefined) return undefined;
  const words: HeardWord[] = [];
  for (let step: Step | undefined = best; step !== undefined; step = step.before) {
    if (step.word !== undefined) words.push(step.word);
  }
  const share = (best.score - anySpeech(transcript)) / (-anyWord * Math.max(1, transcript.length));
  return {
    words: words.reverse(),
    score: best.score,
    share: best.whole ? share : Math.min(share, mostInPart),
  };

  /** Follows wordless steps, and words that were not written down. */
  function spread(steps: (Step | undefined)[], atMs: number): void {
    const open = [...steps.keys()].filter((state) => steps[state] !== undefined);
    for (let state = open.pop(); state !== undefined; state = open.pop()) {
      const at = steps[state];
      if (at === undefined) continue;
      for (const arc of from.get(state) ?? []) {
        const wordless = arc.word === '';
        const score = at.score + (wordless ? 0 : missed);
        if (score <= (steps[arc.to]?.score ?? Number.NEGATIVE_INFINITY)) continue;
        steps[arc.to] = wordless
          ? { score, before: at, whole: at.whole }
          : {
              score,
              before: at,
              word: { word: arc.word, startMs: atMs, endMs: atMs },
              whole: false,
            };
        open.push(arc.to);
      }
    }
  }
}

import { chain, match, type WordNetwork } from '../grammar/index.ts';
import {
  advantageOf,
  type Calibration,
  type Certainty,
  certaintyOf,
  type Evidence,
  type Language,
  rivals,
} from '../interpret/index.ts';
import type { HeardWord, Recogniser, Weakest } from '../ports.ts';

/** What was said in an utterance, as far as can be known, and what that rests on. */
export interface Understanding extends Certainty {
  /** Empty when no sentence fits the sound. */
  readonly words: readonly string[];
  /** The words of the first hearing and when they were said, whatever was decided of them since. */
  readonly placed: readonly HeardWord[];
  readonly evidence: Evidence;
}

const nothing: Understanding = {
  words: [],
  placed: [],
  evidence: { advantage: Number.NEGATIVE_INFINITY, margin: undefined },
  confidence: 0,
  certainty: 'foreign',
};

/**
 * Ends the utterance that a recogniser hears, and weighs it: against any speech at all and, unless
 * it is no examination speech, against the nearest sentence of another meaning.
 *
 * @param rule the rule of the grammar that it was heard with
 * @param hard whether words said then and there were said where it is hard to hear
 */
export async function understand(
  recogniser: Recogniser,
  { language, calibration }: { readonly language: Language; readonly calibration: Calibration },
  rule: string,
  hard: (placed: readonly HeardWord[]) => boolean = () => false,
): Promise<Understanding> {
  const { best, anySpeech, frames } = await recogniser.finish();
  const placed = best?.words ?? [];
  const words = placed.map(({ word }) => word);
  if (best === undefined || words.length === 0) return nothing;
  const advantage = advantageOf({ best: best.score, anySpeech, frames }, calibration);
  const alone = { advantage, margin: undefined };
  const first = certaintyOf(alone, calibration);
  if (first.certainty === 'foreign') return { words, placed, evidence: alone, ...first };
  const decided = await decide(recogniser, language, rule, words);
  const { margin, weakest = best.weakest } = decided;
  const evidence = { advantage, margin, weakest, hard: hard(placed) };
  return { words: decided.words, placed, evidence, ...certaintyOf(evidence, calibration) };
}

/**
 * Hears the utterance again, as these words and as the nearest sentence of another meaning: the
 * better of the two is what was said, and how much better tells how sure that is. Where it is the
 * other one, that must stand against the nearest to itself as well.
 */
async function decide(
  recogniser: Recogniser,
  language: Language,
  rule: string,
  words: readonly string[],
): Promise<Decided> {
  const first = await against(recogniser, rivals(language, rule, words), words);
  const { margin, other, weakest } = first;
  const turned =
    margin !== undefined && margin < 0 && match(language.program(rule), other) !== undefined;
  if (!turned) return { words, margin, weakest };
  const again = await against(recogniser, rivals(language, rule, other), other);
  return {
    words: other,
    margin: Math.max(0, Math.min(-margin, again.margin ?? -margin)),
    weakest: again.weakest,
  };
}

interface Decided {
  readonly words: readonly string[];
  readonly margin: number | undefined;
  readonly weakest: Weakest | undefined;
}

/** How far these words are ahead of the best of the rivals, and which that is. */
async function against(
  recogniser: Recogniser,
  near: WordNetwork | undefined,
  words: readonly string[],
): Promise<Omit<Decided, 'words'> & { readonly other: readonly string[] }> {
  if (near === undefined) return { margin: undefined, weakest: undefined, other: [] };
  const [own, rival] = await recogniser.reconsider([chain(words), near]);
  if (own === undefined) return { margin: 0, weakest: undefined, other: [] };
  const { weakest } = own;
  if (rival === undefined) return { margin: Number.POSITIVE_INFINITY, weakest, other: [] };
  const other = rival.words.map(({ word }) => word);
  return { margin: own.score - rival.score, weakest, other };
}

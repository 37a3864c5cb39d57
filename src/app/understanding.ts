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
import type { HeardWord, Recogniser } from '../ports.ts';

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
 */
export async function understand(
  recogniser: Recogniser,
  { language, calibration }: { readonly language: Language; readonly calibration: Calibration },
  rule: string,
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
  const evidence = { advantage, margin: decided.margin };
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
): Promise<{ readonly words: readonly string[]; readonly margin: number | undefined }> {
  const first = await against(recogniser, rivals(language, rule, words), words);
  const { margin, other } = first;
  const turned =
    margin !== undefined && margin < 0 && match(language.program(rule), other) !== undefined;
  if (!turned) return { words, margin };
  const again = await against(recogniser, rivals(language, rule, other), other);
  return { words: other, margin: Math.max(0, Math.min(-margin, again.margin ?? -margin)) };
}

/** How far these words are ahead of the best of the rivals, and which that is. */
async function against(
  recogniser: Recogniser,
  near: WordNetwork | undefined,
  words: readonly string[],
): Promise<{ readonly margin: number | undefined; readonly other: readonly string[] }> {
  if (near === undefined) return { margin: undefined, other: [] };
  const [own, rival] = await recogniser.reconsider([chain(words), near]);
  if (own === undefined) return { margin: 0, other: [] };
  if (rival === undefined) return { margin: Number.POSITIVE_INFINITY, other: [] };
  return { margin: own.score - rival.score, other: rival.words.map(({ word }) => word) };
}

import { type Context, interpret } from './interpretation.ts';
import type { Language } from './language.ts';

/**
 * Whether noise that drowned a part of a longer sentence may have left these words of it, as another finding: where they
 * correct, "correction" may have been the name of what was examined; where a side may be said at the
 * end or left out, it may have been said.
 */
export function mayHaveLost(
  language: Language,
  words: readonly string[],
  context: Context,
): boolean {
  const meaning = interpret(language, words, context);
  if (meaning.is !== 'findings') return false;
  if (meaning.corrects) return true;
  const before = JSON.stringify(meaning.findings);
  const sides = (language.sentences('reply.side.only') ?? []).filter(
    (one) => one.words.length === 1,
  );
  return sides.some((side) => {
    const longer = interpret(language, [...words, ...side.words], context);
    return (
      longer.is === 'findings' &&
      longer.questions.length === 0 &&
      JSON.stringify(longer.findings) !== before
    );
  });
}

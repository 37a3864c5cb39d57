import type { Finding, Side } from '../exam/index.ts';
import { type PlaceMessages, placeMessages } from './messages/places.ts';

/** "ankle jerk left 0", "ankle dorsiflexion right 3/5", "plantar response left extensor". */
export const findingWords = (
  finding: Finding,
  messages: PlaceMessages = placeMessages.en,
): string => messages.finding(finding);

/** Of many findings that share one reason so many are named. */
const namedAtMost = 6;

/**
 * Several findings in one breath: "ankle jerk 0 on both sides, knee jerk left 1+".
 *
 * @param quality what is told of all of them besides, by the record's own term
 */
export function togetherWords(
  findings: readonly Finding[],
  quality: string | undefined,
  messages: PlaceMessages,
): string {
  const sides = new Map<string, Set<Side>>();
  const alike = (f: Finding): string => messages.finding({ ...f, side: 'midline' });
  for (const f of findings) sides.set(alike(f), (sides.get(alike(f)) ?? new Set()).add(f.side));
  const named = [...sides].flatMap(([words, of]) =>
    of.has('left') && of.has('right')
      ? [messages.onBothSides(words)]
      : findings.filter((f) => alike(f) === words).map((f) => messages.finding(f)),
  );
  const more = named.length - namedAtMost;
  // One more takes no more room than to say that there is one more.
  return more > 1
    ? messages.together(named.slice(0, namedAtMost), more, quality)
    : messages.together(named, 0, quality);
}

/** An item as one asks for it: "Hip abduction, left". */
export const itemWords = (
  { kind, site, side, modality }: { kind: string; site: string; side: Side; modality?: string },
  messages: PlaceMessages,
): string => messages.item(messages.place(kind, site, modality), side);

import type { Hypothesis, Localization, Reason } from '../localize/index.ts';
import { commandLine } from './messages.ts';

const percent = (p: number): string => `${Math.round(p * 100)} %`.padStart(5);
const reasons = (told: (reasons: string) => string, list: readonly Reason[]): readonly string[] =>
  list.length === 0 ? [] : [`        ${told(list.map(({ text }) => text).join('; '))}`];

const { localization: words } = commandLine;

const shown = 4;

function hypothesisLines(hypothesis: Hypothesis): readonly string[] {
  return [
    `  ${percent(hypothesis.probability)}  ${hypothesis.name}`,
    ...reasons(words.for, hypothesis.explains.slice(0, shown)),
    ...reasons(words.against, hypothesis.against.slice(0, shown)),
    ...reasons(words.leaves, hypothesis.unexplained.slice(0, shown)),
  ];
}

/** The localization for a person at a terminal: what cannot wait first. */
export function localizationText(localization: Localization): string {
  const { hypotheses, nextTests, cautions, nothing, enough, other } = localization;
  const lines: string[] = [];
  for (const { urgency, text } of cautions) {
    lines.push(urgency === 'now' ? words.cannotWait(text) : words.caution(text));
  }
  if (nothing !== undefined) lines.push(nothing);
  if (hypotheses.length > 0) {
    lines.push(words.sites);
    for (const hypothesis of hypotheses.slice(0, shown)) lines.push(...hypothesisLines(hypothesis));
    const rest = hypotheses.slice(shown).reduce((sum, h) => sum + h.probability, other);
    lines.push(`  ${percent(rest)}  ${words.else}`);
  }
  if (nextTests.length > 0) {
    lines.push(words.next);
    for (const { text } of nextTests.slice(0, 3)) lines.push(`  ${text}`);
  }
  if (enough !== undefined) lines.push(enough);
  lines.push(words.disclaimer);
  return lines.join('\n');
}

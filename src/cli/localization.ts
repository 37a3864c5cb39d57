import type { Hypothesis, Localization, Reason } from '../localize/index.ts';

const percent = (p: number): string => `${Math.round(p * 100)} %`.padStart(5);
const reasons = (label: string, list: readonly Reason[]): readonly string[] =>
  list.length === 0 ? [] : [`        ${label} ${list.map(({ text }) => text).join('; ')}`];

const shown = 4;

function hypothesisLines(hypothesis: Hypothesis): readonly string[] {
  return [
    `  ${percent(hypothesis.probability)}  ${hypothesis.name}`,
    ...reasons('for    ', hypothesis.explains.slice(0, shown)),
    ...reasons('against', hypothesis.against.slice(0, shown)),
    ...reasons('leaves ', hypothesis.unexplained.slice(0, shown)),
  ];
}

/** The localization for a person at a terminal: what cannot wait first. */
export function localizationText(localization: Localization): string {
  const { hypotheses, nextTests, cautions, nothing, enough, other } = localization;
  const lines: string[] = [];
  for (const { urgency, text } of cautions) {
    lines.push(urgency === 'now' ? `CANNOT WAIT: ${text}` : `Caution: ${text}`);
  }
  if (nothing !== undefined) lines.push(nothing);
  if (hypotheses.length > 0) {
    lines.push('Where the lesion may be:');
    for (const hypothesis of hypotheses.slice(0, shown)) lines.push(...hypothesisLines(hypothesis));
    const rest = hypotheses.slice(shown).reduce((sum, h) => sum + h.probability, other);
    lines.push(`  ${percent(rest)}  everything else`);
  }
  if (nextTests.length > 0) {
    lines.push('What one more test would tell:');
    for (const { text } of nextTests.slice(0, 3)) lines.push(`  ${text}`);
  }
  if (enough !== undefined) lines.push(enough);
  lines.push(
    'An aid to reasoning, computed from these findings alone. It defers to the clinician and to local guidance.',
  );
  return lines.join('\n');
}

import { type Entry, type EntryId, openEntries } from '../exam/index.ts';
import type { Caution, Hypothesis, Localization, Reason } from '../localize/result.ts';
import type { Argued, ReportMessages } from './messages/papers.ts';
import { findingLine, hypothesisName, valueText, withSide } from './name.ts';
import { plain, sentence } from './plain.ts';
import type { Report } from './report.ts';
import type { Section } from './sheet.ts';

/** What fits on paper and is read: the leading sites, each with its strongest reasons. */
const shownSites = 5;
const arguedSites = 3;
const shownReasons = 5;
const shownTests = 3;
/** A site less probable than this is named only when it leads. */
const leastShown = 0.01;

const lines = (title: string, all: readonly string[], remark?: string): readonly Section[] =>
  all.length === 0
    ? []
    : [
        remark === undefined
          ? { title, blocks: [{ is: 'lines', lines: all }] }
          : { title, remark, blocks: [{ is: 'lines', lines: all }] },
      ];

const cautionLine = (caution: Caution): string => sentence(plain(caution.text));

/** Patterns that cannot wait: they stand before everything else. */
export const urgentSections = (
  localization: Localization | undefined,
  { text }: ReportMessages,
): readonly Section[] =>
  lines(
    text.cannotWait,
    (localization?.cautions ?? []).filter((c) => c.urgency === 'now').map(cautionLine),
  );

/** The strongest reasons, and how many more there are: none is hidden without a word. */
function reasons(why: Argued, all: readonly Reason[], messages: ReportMessages): readonly string[] {
  if (all.length === 0) return [];
  const shown = all
    .toSorted((a, b) => Math.abs(b.weight) - Math.abs(a.weight))
    .slice(0, shownReasons)
    .map((reason) => plain(reason.text));
  return [`   ${messages.reasons(why, shown, all.length - shown.length)}`];
}

function siteLines(
  hypothesis: Hypothesis,
  place: number,
  messages: ReportMessages,
): readonly string[] {
  const name = hypothesisName(hypothesis, messages.names);
  const line = messages.site(place, name, messages.percent(hypothesis.probability));
  if (place > arguedSites) return [line];
  return [
    line,
    ...reasons('for', hypothesis.explains, messages),
    ...reasons('against', hypothesis.against, messages),
    ...reasons('unexplained', hypothesis.unexplained, messages),
  ];
}

export function localizationSections(
  localization: Localization | undefined,
  messages: ReportMessages,
): readonly Section[] {
  if (localization === undefined) return [];
  const { text } = messages;
  const shown = localization.hypotheses
    .slice(0, shownSites)
    .filter(({ probability }, i) => i === 0 || probability >= leastShown);
  const rest =
    localization.other +
    localization.hypotheses.slice(shown.length).reduce((sum, h) => sum + h.probability, 0);
  const told =
    localization.nothing !== undefined
      ? [sentence(plain(localization.nothing))]
      : [
          ...shown.flatMap((h, i) => siteLines(h, i + 1, messages)),
          ...(rest > 0 ? [messages.elsewhere(messages.percent(rest))] : []),
        ];
  const { enough } = localization;
  const tests = [
    ...localization.nextTests.slice(0, shownTests).map((t) => sentence(plain(t.text))),
    ...(enough === undefined ? [] : [sentence(plain(enough))]),
  ];
  const cautions = localization.cautions.filter((c) => c.urgency !== 'now').map(cautionLine);
  return [
    ...lines(text.localization, told, text.disclaimer),
    ...lines(text.tests, tests),
    ...lines(text.cautions, cautions),
  ];
}

/** What the record leaves open: not examined, not confirmed, replaced, withdrawn. */
export function openSections(report: Report, messages: ReportMessages): readonly Section[] {
  const { entries } = report.record;
  const { names, text } = messages;
  const line = ({ finding }: Entry): string => findingLine(finding, names);
  const replaced = entries.flatMap((entry) =>
    entry.standing.is === 'superseded'
      ? [messages.replaced(line(entry), successor(entries, entry.standing.by, messages))]
      : [],
  );
  const withdrawn = entries.filter((entry) => entry.standing.is === 'withdrawn').map(line);
  return [
    ...lines(text.notExamined, report.notExamined.map(plain).map(sentence)),
    ...lines(text.notConfirmed, openEntries(report.record).map(line).map(sentence)),
    ...lines(text.replacedValues, replaced.map(sentence)),
    ...lines(text.withdrawn, withdrawn.map(sentence)),
  ];
}

/** The new value with its side, since a correction may have changed the side itself. */
function successor(
  entries: readonly Entry[],
  id: EntryId,
  { names, text }: ReportMessages,
): string {
  const finding = entries.find((e) => e.id === id)?.finding;
  return finding === undefined
    ? text.laterValue
    : withSide(finding, valueText(finding, names), names);
}

import { type Entry, type EntryId, openEntries } from '../exam/index.ts';
import type { Caution, Hypothesis, Localization, Reason } from '../localize/result.ts';
import { findingLine, valueText } from './name.ts';
import { percent, plain, sentence } from './plain.ts';
import type { Report } from './report.ts';
import type { Section } from './sheet.ts';

/** What a reader must be told on every paper that carries a computed site of lesion. */
export const disclaimer =
  'The localization is computed from the findings above. It is an aid to reasoning; it defers to the clinician and to local guidance.';

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
export const urgentSections = (localization: Localization | undefined): readonly Section[] =>
  lines(
    'Cannot wait',
    (localization?.cautions ?? []).filter((c) => c.urgency === 'now').map(cautionLine),
  );

/** The name of a site with its side, which no reader may have to guess. */
export function hypothesisName({ name, side, sites }: Hypothesis): string {
  const told = /\b(left|right|both|bilateral)\b/i.test(name);
  if (told || side === 'none' || sites !== undefined) return plain(name);
  return `${plain(name)}, ${side === 'both' ? 'both sides' : side}`;
}

/** The strongest reasons, and how many more there are: none is hidden without a word. */
function reasons(word: string, all: readonly Reason[]): readonly string[] {
  if (all.length === 0) return [];
  const shown = all
    .toSorted((a, b) => Math.abs(b.weight) - Math.abs(a.weight))
    .slice(0, shownReasons)
    .map((reason) => plain(reason.text));
  const more = all.length - shown.length;
  return [`   ${word}: ${[...shown, ...(more > 0 ? [`${more} more`] : [])].join('; ')}`];
}

function siteLines(hypothesis: Hypothesis, place: number): readonly string[] {
  const line = `${place}. ${hypothesisName(hypothesis)}: ${percent(hypothesis.probability)}`;
  if (place > arguedSites) return [line];
  return [
    line,
    ...reasons('For', hypothesis.explains),
    ...reasons('Against', hypothesis.against),
    ...reasons('Not accounted for', hypothesis.unexplained),
  ];
}

export function localizationSections(localization: Localization | undefined): readonly Section[] {
  if (localization === undefined) return [];
  const shown = localization.hypotheses
    .slice(0, shownSites)
    .filter(({ probability }, i) => i === 0 || probability >= leastShown);
  const rest =
    localization.other +
    localization.hypotheses.slice(shown.length).reduce((sum, h) => sum + h.probability, 0);
  const text =
    localization.nothing !== undefined
      ? [sentence(plain(localization.nothing))]
      : [
          ...shown.flatMap((h, i) => siteLines(h, i + 1)),
          ...(rest > 0 ? [`Any other site: ${percent(rest)}`] : []),
        ];
  const { enough } = localization;
  const tests = [
    ...localization.nextTests.slice(0, shownTests).map((t) => sentence(plain(t.text))),
    ...(enough === undefined ? [] : [sentence(plain(enough))]),
  ];
  const cautions = localization.cautions.filter((c) => c.urgency !== 'now').map(cautionLine);
  return [
    ...lines('Localization', text, disclaimer),
    ...lines('What would tell more', tests),
    ...lines('Cautions', cautions),
  ];
}

/** What the record leaves open: not examined, not confirmed, replaced, withdrawn. */
export function openSections(report: Report): readonly Section[] {
  const { entries } = report.record;
  const replaced = entries.flatMap((entry) =>
    entry.standing.is === 'superseded'
      ? [`${findingLine(entry.finding)}, replaced by ${successor(entries, entry.standing.by)}`]
      : [],
  );
  const withdrawn = entries.flatMap((entry) =>
    entry.standing.is === 'withdrawn' ? [findingLine(entry.finding)] : [],
  );
  return [
    ...lines('Not examined', report.notExamined.map(plain).map(sentence)),
    ...lines(
      'Not confirmed by the examiner',
      openEntries(report.record).map((entry) => sentence(findingLine(entry.finding))),
    ),
    ...lines('Replaced values', replaced.map(sentence)),
    ...lines('Withdrawn', withdrawn.map(sentence)),
  ];
}

function successor(entries: readonly Entry[], id: EntryId): string {
  const entry = entries.find((e) => e.id === id);
  return entry === undefined ? 'a later value' : valueAndSide(entry);
}

/** The new value with its side, since a correction may have changed the side itself. */
const valueAndSide = ({ finding }: Entry): string =>
  finding.side === 'midline' ? valueText(finding) : `${finding.side} ${valueText(finding)}`;

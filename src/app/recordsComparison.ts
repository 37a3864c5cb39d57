import type { LanguageId } from '../exam/index.ts';
import {
  changeLines,
  compare,
  inTime,
  type KeptReport,
  plotGrades,
  plottable,
  reportMessages,
} from '../report/index.ts';
import type { Comparison } from '../ui/index.ts';

/** Most drawings that are made; what changed most comes first in the exam anyway. */
const mostPlots = 24;

/** Exams of one label beside each other. The exam at hand is the last one, whatever its clock says. */
export function comparisonOf(
  label: string,
  reports: readonly KeptReport[],
  lastIsNow: boolean,
  language: LanguageId,
): Comparison {
  const earlier = inTime(lastIsNow ? reports.slice(0, -1) : reports);
  const all = lastIsNow ? [...earlier, ...reports.slice(-1)] : earlier;
  const messages = reportMessages[language];
  const items = compare(all, messages.names);
  return {
    label,
    columns: all.map(({ exam, startedAt }) => ({ exam, startedAt: startedAt ?? '' })),
    items,
    changes: all.length < 2 ? [] : changeLines(items, messages),
    plots: plottable(all, messages.names)
      .slice(0, mostPlots)
      .flatMap(({ kind, site, name }) => {
        const markup = plotGrades(all, kind, site, messages);
        return markup === undefined ? [] : [{ name, markup }];
      }),
  };
}

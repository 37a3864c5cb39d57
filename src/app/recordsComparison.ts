import {
  changeLines,
  compare,
  inTime,
  type KeptReport,
  plotGrades,
  plottable,
} from '../report/index.ts';
import type { Comparison } from '../ui/index.ts';

/** Most drawings that are made; what changed most comes first in the exam anyway. */
const mostPlots = 24;

/** Exams of one label beside each other. The exam at hand is the last one, whatever its clock says. */
export function comparisonOf(
  label: string,
  reports: readonly KeptReport[],
  lastIsNow: boolean,
): Comparison {
  const earlier = inTime(lastIsNow ? reports.slice(0, -1) : reports);
  const all = lastIsNow ? [...earlier, ...reports.slice(-1)] : earlier;
  const items = compare(all);
  return {
    label,
    columns: all.map(({ exam, startedAt }) => ({ exam, startedAt: startedAt ?? '' })),
    items,
    changes: all.length < 2 ? [] : changeLines(items),
    plots: plottable(all)
      .slice(0, mostPlots)
      .flatMap(({ kind, site, name }) => {
        const markup = plotGrades(all, kind, site);
        return markup === undefined ? [] : [{ name, markup }];
      }),
  };
}

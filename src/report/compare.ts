import {
  bearing,
  clonusValues,
  type Finding,
  type ItemKey,
  itemKey,
  mrcNumber,
  reflexNumber,
  sensationValues,
  standingFindings,
  superficialValues,
} from '../exam/index.ts';
import { reportEnglish } from './english/papers.ts';
import type { ReportNames } from './messages/names.ts';
import type { ReportMessages } from './messages/papers.ts';
import { itemTitle, valueText, withSide } from './name.ts';
import { plain, sentence } from './plain.ts';
import type { KeptReport } from './report.ts';

/** How an item changed from one exam to the next. */
export type Change =
  | 'same'
  /** Nearer to or farther from the normal. */
  | 'better'
  | 'worse'
  /** Different, where neither is nearer to the normal. */
  | 'other'
  /** Examined in one of the two only, or said to be untested. */
  | 'not-comparable';

export interface ComparedItem {
  readonly key: ItemKey;
  /** "Left patellar reflex". */
  readonly name: string;
  /** The finding in each exam, oldest first; undefined where the item was not examined. */
  readonly findings: readonly (Finding | undefined)[];
  /** From the last but one exam that has it to the last exam. */
  readonly change: Change;
}

/** Exams of one label in the order of their time; those without a time come first, as given. */
export function inTime<R extends Pick<KeptReport, 'startedAt'>>(
  reports: readonly R[],
): readonly R[] {
  const time = (r: R) => {
    const instant = Date.parse(r.startedAt ?? '');
    return Number.isNaN(instant) ? Number.NEGATIVE_INFINITY : instant;
  };
  return reports.toSorted((a, b) => (time(a) < time(b) ? -1 : time(a) > time(b) ? 1 : 0));
}

/** Every item that any of the exams has, in the order it was first examined. */
export function compare(
  reports: readonly Pick<KeptReport, 'record'>[],
  names: ReportNames = reportEnglish.names,
): readonly ComparedItem[] {
  const columns = reports.map(
    ({ record }) => new Map(standingFindings(record).map((f) => [itemKey(f), f] as const)),
  );
  const keys = new Set(columns.flatMap((column) => [...column.keys()]));
  return [...keys].map((key) => {
    const findings = columns.map((column) => column.get(key));
    const any = findings.find((f) => f !== undefined);
    const last = findings.at(-1);
    const before = findings.slice(0, -1).findLast((f) => f !== undefined);
    return {
      key,
      name: any === undefined ? key : sentence(withSide(any, itemTitle(any, names), names)),
      findings,
      change: changeOf(before, last),
    };
  });
}

export function changeOf(before: Finding | undefined, after: Finding | undefined): Change {
  if (before === undefined || after === undefined) return 'not-comparable';
  if (before.value === 'not-tested' || after.value === 'not-tested') return 'not-comparable';
  if (before.value === after.value) return 'same';
  const was = distance(before);
  const is = distance(after);
  if (was === undefined || is === undefined || was === is) return 'other';
  return is < was ? 'better' : 'worse';
}

/**
 * How far a finding is from the normal, in steps of its own scale; undefined where the scale has no
 * order. A reflex of 1+ and one of 3+ are as far from 2+, so from one to the other is neither better
 * nor worse.
 */
export function distance(finding: Finding): number | undefined {
  if (finding.value === 'not-tested') return undefined;
  switch (finding.kind) {
    case 'reflex':
      return Math.abs(reflexNumber(finding.value) - reflexNumber('2+'));
    case 'strength':
      return mrcNumber('5') - mrcNumber(finding.value);
    case 'clonus':
      return clonusValues.indexOf(finding.value);
    case 'superficial':
      return superficialValues.indexOf(finding.value);
    case 'sensation': {
      // Increased is a disturbance of another kind, not a step on the way to absent.
      return finding.value === 'increased' ? undefined : sensationValues.indexOf(finding.value);
    }
    case 'context':
      return undefined;
    default:
      return bearing(finding) === 'normal' ? 0 : 1;
  }
}

/** What changed since the last exam, a line an item, worst first; for the page and for the voice. */
export function changeLines(
  items: readonly ComparedItem[],
  messages: ReportMessages = reportEnglish,
): readonly string[] {
  const order: readonly Change[] = ['worse', 'other', 'better'];
  return order.flatMap((change) =>
    items
      .filter((item) => item.change === change)
      .map(({ name, findings }) => {
        const before = findings.slice(0, -1).findLast((f) => f !== undefined);
        const after = findings.at(-1);
        const from = before === undefined ? '' : valueText(before, messages.names);
        const to = after === undefined ? '' : valueText(after, messages.names);
        return messages.change(name, from, to, messages.changes[change]);
      }),
  );
}

/** The exams side by side as text: a line an item, a column an exam. */
export function writeComparison(
  reports: readonly KeptReport[],
  messages: ReportMessages = reportEnglish,
): string {
  const exams = inTime(reports);
  const rows = [
    [
      '',
      ...exams.map((r, i) => plain(r.startedAt ?? '').slice(0, 16) || messages.examColumn(i + 1)),
      messages.text.last,
    ],
    ...compare(exams, messages.names).map(({ name, findings, change }) => [
      name,
      ...findings.map((f) =>
        f === undefined ? messages.marks.none : valueText(f, messages.names),
      ),
      messages.changes[change],
    ]),
  ];
  const widths = rows[0]?.map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0))) ?? [];
  return rows
    .map((row) => `${row.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join('  ')}`.trimEnd())
    .map((line) => `${line}\n`)
    .join('');
}

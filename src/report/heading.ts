import { openEntries, planOf } from '../exam/index.ts';
import { plain } from './plain.ts';
import type { Report } from './report.ts';

/** The lines above the findings: who, when, and how far the exam got. */
export function heading(report: Report): readonly (readonly [name: string, text: string])[] {
  const { record } = report;
  const open = openEntries(record).length;
  const said = (text: string | undefined) => (text === undefined ? '' : plain(text));
  const rows: readonly (readonly [string, string])[] = [
    ['Patient', said(report.patientLabel) || 'no label given'],
    ['Examiner', said(report.examiner) || 'not named'],
    ['Started', said(report.startedAt).replace('T', ' ') || 'time not known'],
    ['Plan', planOf(record.plan)?.name ?? plain(record.plan)],
    [
      'Status',
      record.complete ? 'examination complete' : 'EXAMINATION NOT COMPLETE when this was written',
    ],
  ];
  return open === 0
    ? rows
    : [...rows, ['Open', `${open} ${open === 1 ? 'item' : 'items'} not confirmed, marked (?)`]];
}

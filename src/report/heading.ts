import { openEntries, planName } from '../exam/index.ts';
import type { ReportMessages } from './messages/papers.ts';
import { plain } from './plain.ts';
import type { Report } from './report.ts';

/** The lines above the findings: who, when, and how far the exam got. */
export function heading(
  report: Report,
  messages: ReportMessages,
): readonly (readonly [name: string, text: string])[] {
  const { record } = report;
  const { text } = messages;
  const open = openEntries(record).length;
  const said = (told: string | undefined) => (told === undefined ? '' : plain(told));
  const started = said(report.startedAt);
  const rows: readonly (readonly [string, string])[] = [
    [text.patient, said(report.patientLabel) || text.noLabel],
    [text.examiner, said(report.examiner) || text.notNamed],
    [text.started, started === '' ? text.noTime : messages.instant(started)],
    [text.plan, plain(planName(record.plan, messages.exam))],
    [text.status, record.complete ? text.complete : text.notComplete],
  ];
  return open === 0 ? rows : [...rows, [text.open, messages.unconfirmed(open)]];
}

import { toCsv } from './csv.ts';
import { reportEnglish } from './english/papers.ts';
import { toFhir } from './fhir.ts';
import { toJson } from './json.ts';
import type { ReportMessages } from './messages/papers.ts';
import { writeNote } from './note.ts';
import { type Drawings, writePrint } from './print.ts';
import type { Report } from './report.ts';

/** A file that an exam leaves behind: what it is called, and what is in it, UTF-8. */
export interface Paper {
  readonly name: string;
  readonly mediaType: string;
  readonly text: string;
}

/**
 * Everything that is written about one exam, note first. What programs read (JSON, CSV) is of no
 * language.
 */
export function papersOf(
  report: Report,
  drawings: Drawings = {},
  messages: ReportMessages = reportEnglish,
): readonly Paper[] {
  return [
    { name: 'note.txt', mediaType: 'text/plain', text: writeNote(report, messages) },
    { name: 'note.html', mediaType: 'text/html', text: writePrint(report, drawings, messages) },
    { name: 'record.json', mediaType: 'application/json', text: toJson(report) },
    { name: 'record.csv', mediaType: 'text/csv', text: toCsv(report) },
    {
      name: 'bundle.fhir.json',
      mediaType: 'application/fhir+json',
      text: `${JSON.stringify(toFhir(report, messages), undefined, 2)}\n`,
    },
  ];
}

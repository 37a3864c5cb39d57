import { toCsv } from './csv.ts';
import { toFhir } from './fhir.ts';
import { toJson } from './json.ts';
import { writeNote } from './note.ts';
import { type Drawings, writePrint } from './print.ts';
import type { Report } from './report.ts';

/** A file that an exam leaves behind: what it is called, and what is in it, UTF-8. */
export interface Paper {
  readonly name: string;
  readonly mediaType: string;
  readonly text: string;
}

/** Everything that is written about one exam, note first. */
export function papersOf(report: Report, drawings: Drawings = {}): readonly Paper[] {
  return [
    { name: 'note.txt', mediaType: 'text/plain', text: writeNote(report) },
    { name: 'note.html', mediaType: 'text/html', text: writePrint(report, drawings) },
    { name: 'record.json', mediaType: 'application/json', text: toJson(report) },
    { name: 'record.csv', mediaType: 'text/csv', text: toCsv(report) },
    {
      name: 'bundle.fhir.json',
      mediaType: 'application/fhir+json',
      text: `${JSON.stringify(toFhir(report), undefined, 2)}\n`,
    },
  ];
}

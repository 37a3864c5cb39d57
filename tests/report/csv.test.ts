import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { csvColumns, toCsv } from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';

/** A plain reading of RFC 4180, section 2, for the test alone. */
function read(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  const cell = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/y;
  while (cell.lastIndex < text.length) {
    const match = cell.exec(text);
    if (match === null) throw new Error(`no RFC 4180 at ${cell.lastIndex}`);
    row.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '');
    if (match[3] === '\r\n') {
      rows.push(row);
      row = [];
    }
  }
  return rows;
}

describe('the record as CSV', () => {
  test('has every entry of any exam, with its words, side and value unchanged', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const [head, ...rows] = read(toCsv(report));
        expect(head).toEqual(csvColumns);
        expect(rows).toHaveLength(report.record.entries.length);
        for (const [i, { finding, hearing, standing }] of report.record.entries.entries()) {
          const row = Object.fromEntries(csvColumns.map((c, n) => [c, rows[i]?.[n] ?? '']));
          expect(row).toMatchObject({
            kind: finding.kind,
            site: finding.site,
            side: finding.side,
            value: `${finding.value}`,
            standing: standing.is,
          });
          expect(row.heard?.replace(/^'(?='*[=+\-@\t\r])/, '')).toBe(hearing.words);
        }
      }),
      { numRuns: 100 },
    );
  }, 60_000);

  test('holds no cell that a spreadsheet runs as a formula', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        for (const row of read(toCsv(report)).slice(1)) {
          for (const cell of row) {
            if (/^[=+@\t\r]/.test(cell) || (cell.startsWith('-') && Number.isNaN(Number(cell)))) {
              throw new Error(`runs: ${cell}`);
            }
          }
        }
      }),
      { numRuns: 100 },
    );
  }, 60_000);

  test('dates each entry from the start of the exam', () => {
    expect(toCsv(rootExam)).toContain(',1,2026-11-25T10:00:04.000Z,4000,context,age,midline,,54,');
  });
});

import type { Entry } from '../exam/index.ts';
import { instantOf, type Report, sinceStart } from './report.ts';

/** One row an entry, replaced and withdrawn ones too; `standing` says which count. */
export const csvColumns = [
  'exam',
  'entry',
  'time',
  'ms_from_start',
  'kind',
  'site',
  'side',
  'modality',
  'value',
  'qualifiers',
  'beats',
  'standing',
  'closed_by',
  'replaced_by',
  'heard',
  'confidence',
] as const;

/**
 * The entries of the record as CSV (RFC 4180: CRLF, quotes doubled). A cell that a spreadsheet would
 * take for a formula is given a leading apostrophe (OWASP, "CSV Injection"), and so is one that has
 * such an apostrophe already, so that taking one off always gives what was said.
 */
export function toCsv(report: Report): string {
  const rows = report.record.entries.map((entry) => cells(report, entry));
  return [csvColumns, ...rows].map((row) => `${row.map(quote).join(',')}\r\n`).join('');
}

function cells(report: Report, { id, at, finding, hearing, standing }: Entry): readonly string[] {
  return [
    report.exam,
    `${id}`,
    instantOf(report, at) ?? '',
    `${sinceStart(report.record.events, at)}`,
    finding.kind,
    finding.site,
    finding.side,
    finding.kind === 'sensation' ? finding.modality : '',
    `${finding.value}`,
    finding.kind === 'reflex' ? (finding.qualifiers ?? []).join(' ') : '',
    finding.kind === 'clonus' ? `${finding.beats ?? ''}` : '',
    standing.is,
    standing.is === 'confirmed' ? standing.by : '',
    standing.is === 'superseded' ? `${standing.by}` : '',
    hearing.words,
    `${hearing.confidence ?? ''}`,
  ];
}

const number = /^-?\d+(\.\d+)?$/;

function quote(cell: string): string {
  const guarded = /^'*[=+\-@\t\r]/.test(cell) && !number.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}

import { heading } from './heading.ts';
import type { Report } from './report.ts';
import {
  type Block,
  columnTitles,
  findingSections,
  marks,
  type Section,
  type SideTable,
} from './sheet.ts';
import { localizationSections, openSections, urgentSections } from './summary.ts';

/** Line length of the note; what a printed page and a mail window both show. */
const width = 80;

/**
 * The note in the trade's order and wording, as plain text that can go to a clipboard. Urgent
 * patterns first, then the findings left and right, the localization with its reasons, and what is
 * left open. Lines end with `\n`.
 */
export function writeNote(report: Report): string {
  const findings = findingSections(report);
  const parts = [
    ['NEUROLOGICAL EXAMINATION', ...heading(report).map(([n, t]) => `${`${n}:`.padEnd(11)}${t}`)],
    ...urgentSections(report.localization).map(sectionText),
    ...(findings.length === 0 ? [['Nothing was recorded.']] : findings.map(sectionText)),
    ...(findings.length === 0 ? [] : [[legend]]),
    ...localizationSections(report.localization).map(sectionText),
    ...openSections(report).map(sectionText),
  ];
  return `${parts.map((part) => part.join('\n')).join('\n\n')}\n`;
}

const legend = `${marks.open} not confirmed   ${marks.notTested} not tested   ${marks.none} not examined   ${marks.unequal} left and right differ`;

const sectionText = ({ title, remark, blocks }: Section): readonly string[] => [
  title.toUpperCase(),
  ...(remark === undefined ? [] : wrap(remark)),
  ...blocks.flatMap(blockText),
];

const blockText = (block: Block): readonly string[] =>
  block.is === 'lines' ? block.lines.flatMap((line) => wrap(line)) : tableText(block);

function tableText({ rowsAre, columns, rows }: SideTable): readonly string[] {
  const table = [
    [rowsAre, ...columns.map((c) => columnTitles[c]), ''],
    ...rows.map((row) => [
      row.name,
      ...row.cells.map((c) => c.text),
      row.unequal ? marks.unequal : '',
    ]),
  ];
  const widths = table[0]?.map((_, i) => Math.max(...table.map((cells) => cells[i]?.length ?? 0)));
  return table.map((cells) =>
    `  ${cells.map((cell, i) => cell.padEnd(widths?.[i] ?? 0)).join('  ')}`.trimEnd(),
  );
}

/** Breaks a line between words; what runs on is set in under it. */
export function wrap(line: string): readonly string[] {
  const indent = `  ${/^ */.exec(line)?.[0] ?? ''}`;
  const out: string[] = [];
  let current = indent;
  for (const word of line.trim().split(' ')) {
    const next = current.trim() === '' ? current + word : `${current} ${word}`;
    if (next.length > width && current.trim() !== '') {
      out.push(current);
      current = `${indent}  ${word}`;
    } else {
      current = next;
    }
  }
  return [...out, current];
}

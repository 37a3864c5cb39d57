import { reportEnglish } from './english/papers.ts';
import { heading } from './heading.ts';
import type { ReportMessages } from './messages/papers.ts';
import type { Report } from './report.ts';
import { type Block, findingSections, type Section, type SideTable } from './sheet.ts';
import { localizationSections, openSections, urgentSections } from './summary.ts';

/** Line length of the note; what a printed page and a mail window both show. */
const width = 80;

/**
 * The note in the trade's order and wording, as plain text that can go to a clipboard. Urgent
 * patterns first, then the findings left and right, the localization with its reasons, and what is
 * left open. Lines end with `\n`.
 */
export function writeNote(report: Report, messages: ReportMessages = reportEnglish): string {
  const { locale, text } = messages;
  const findings = findingSections(report, messages);
  const rows = heading(report, messages);
  const widest = Math.max(...rows.map(([name]) => name.length));
  const capitals = (title: string): string => title.toLocaleUpperCase(locale);
  const sectionText = ({ title, remark, blocks }: Section): readonly string[] => [
    capitals(title),
    ...(remark === undefined ? [] : wrap(remark)),
    ...blocks.flatMap((block) => blockText(block, messages)),
  ];
  const parts = [
    [
      capitals(text.title),
      ...rows.map(([name, told]) => `${`${name}:`.padEnd(widest + 3)}${told}`),
    ],
    ...urgentSections(report.localization, messages).map(sectionText),
    ...(findings.length === 0 ? [[text.nothingRecorded]] : findings.map(sectionText)),
    ...(findings.length === 0 ? [] : [[legend(messages)]]),
    ...localizationSections(report.localization, messages).map(sectionText),
    ...openSections(report, messages).map(sectionText),
  ];
  return `${parts.map((part) => part.join('\n')).join('\n\n')}\n`;
}

const legend = ({ marks, text }: ReportMessages): string =>
  [
    `${marks.open} ${text.legendOpen}`,
    `${marks.notTested} ${text.legendNotTested}`,
    `${marks.none} ${text.legendNone}`,
    `${marks.unequal} ${text.legendUnequal}`,
  ].join('   ');

const blockText = (block: Block, messages: ReportMessages): readonly string[] =>
  block.is === 'lines' ? block.lines.flatMap((line) => wrap(line)) : tableText(block, messages);

function tableText(
  { rowsAre, columns, rows }: SideTable,
  { columns: titles, marks }: ReportMessages,
): readonly string[] {
  const table = [
    [rowsAre, ...columns.map((c) => titles[c]), ''],
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

import { reportEnglish } from './english/papers.ts';
import { heading } from './heading.ts';
import type { ReportMessages } from './messages/papers.ts';
import { escapeMarkup } from './plain.ts';
import type { Report } from './report.ts';
import { type Block, findingSections, type Row, type Section, type SideTable } from './sheet.ts';
import { printStyle } from './style.ts';
import { localizationSections, openSections, urgentSections } from './summary.ts';

/**
 * Drawings for the sheet, as SVG that this program made itself. They are put in as they are, so
 * nothing that came from outside may be in them unescaped.
 */
export interface Drawings {
  /** Outline of the body with the findings on it. */
  readonly body?: string;
  /** Pathway with the site of the lesion on it. */
  readonly pathway?: string;
}

/**
 * The exam as one HTML document that needs nothing else and runs nothing: for the ward's file, on
 * paper. Says the same as the note, from the same sections.
 */
export function writePrint(
  report: Report,
  drawings: Drawings = {},
  messages: ReportMessages = reportEnglish,
): string {
  const { locale, text } = messages;
  const findings = findingSections(report, messages);
  const title = escapeMarkup(text.title);
  const written = (all: readonly Section[], look?: string): string =>
    all.map((one) => section(one, messages, look)).join('\n');
  return `<!doctype html>
<html lang="${escapeMarkup(locale)}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${printStyle}</style>
</head>
<body>
<header>
<h1>${title}</h1>
<dl>${heading(report, messages).map(pair).join('')}</dl>
</header>
<main>
${written(urgentSections(report.localization, messages), 'urgent')}
<div class="findings">
${findings.length === 0 ? `<p>${escapeMarkup(text.nothingRecorded)}</p>` : written(findings)}
</div>
${findings.length === 0 ? '' : legend(messages)}
${drawn(drawings, messages)}
${written([...localizationSections(report.localization, messages), ...openSections(report, messages)])}
<div class="sign">${[text.examiner, text.signature, text.dateAndTime].map((of) => `<div>${escapeMarkup(of)}</div>`).join('')}</div>
</main>
</body>
</html>
`;
}

function legend({ marks, text }: ReportMessages): string {
  const signs = [
    `${marks.open} ${text.printLegendOpen}`,
    `${marks.notTested} ${text.legendNotTested}`,
    `${marks.none} ${text.legendNone}`,
    `${marks.unequal} ${text.legendUnequal}`,
  ];
  return `<p class="remark">${escapeMarkup(signs.join(' · '))}</p>`;
}

const pair = ([name, text]: readonly [string, string]): string =>
  `<dt>${escapeMarkup(name)}</dt><dd>${escapeMarkup(text)}</dd>`;

function section(
  { title, remark, blocks }: Section,
  messages: ReportMessages,
  look?: string,
): string {
  const className = look === undefined ? '' : ` class="${look}"`;
  const said = remark === undefined ? '' : `<p class="remark">${escapeMarkup(remark)}</p>`;
  return `<section${className}><h2>${escapeMarkup(title)}</h2>${said}${blocks.map((one) => block(one, messages)).join('')}</section>`;
}

function block(part: Block, messages: ReportMessages): string {
  if (part.is === 'table') return table(part, messages);
  const items = part.lines.map(
    (line) =>
      `<li${line.startsWith(' ') ? ' class="reason"' : ''}>${escapeMarkup(line.trim())}</li>`,
  );
  return `<ul>${items.join('')}</ul>`;
}

function table(
  { rowsAre, columns, rows }: SideTable,
  { columns: titles, marks }: ReportMessages,
): string {
  const head = [rowsAre, ...columns.map((c) => titles[c])]
    .map((title) => `<th scope="col">${escapeMarkup(title)}</th>`)
    .join('');
  return `<table><thead><tr>${head}<th></th></tr></thead><tbody>${rows.map((row) => tableRow(row, marks.unequal)).join('')}</tbody></table>`;
}

function tableRow({ name, cells, unequal }: Row, differs: string): string {
  const values = cells
    .map((c) => `<td${c.abnormal ? ' class="abnormal"' : ''}>${escapeMarkup(c.text)}</td>`)
    .join('');
  const mark = unequal ? `<td>${escapeMarkup(differs)}</td>` : '<td></td>';
  return `<tr${unequal ? ' class="unequal"' : ''}><th scope="row">${escapeMarkup(name)}</th>${values}${mark}</tr>`;
}

function drawn({ body, pathway }: Drawings, { text }: ReportMessages): string {
  const figures = [
    [body, text.bodyCaption],
    [pathway, text.pathwayCaption],
  ].flatMap(([svg, caption]) =>
    svg === undefined
      ? []
      : [`<figure>${svg}<figcaption>${escapeMarkup(caption ?? '')}</figcaption></figure>`],
  );
  return figures.length === 0 ? '' : `<div class="drawings">${figures.join('')}</div>`;
}

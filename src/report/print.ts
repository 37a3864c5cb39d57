import { heading } from './heading.ts';
import { escapeMarkup } from './plain.ts';
import type { Report } from './report.ts';
import {
  type Block,
  columnTitles,
  findingSections,
  marks,
  type Row,
  type Section,
  type SideTable,
} from './sheet.ts';
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
export function writePrint(report: Report, drawings: Drawings = {}): string {
  const findings = findingSections(report);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Neurological examination</title>
<style>${printStyle}</style>
</head>
<body>
<header>
<h1>Neurological examination</h1>
<dl>${heading(report).map(pair).join('')}</dl>
</header>
<main>
${urgentSections(report.localization)
  .map((s) => section(s, 'urgent'))
  .join('\n')}
<div class="findings">
${findings.length === 0 ? '<p>Nothing was recorded.</p>' : findings.map((s) => section(s)).join('\n')}
</div>
${findings.length === 0 ? '' : legend}
${drawn(drawings)}
${[...localizationSections(report.localization), ...openSections(report)]
  .map((s) => section(s))
  .join('\n')}
<div class="sign"><div>Examiner</div><div>Signature</div><div>Date and time</div></div>
</main>
</body>
</html>
`;
}

const legend = `<p class="remark">${marks.open} not confirmed by the examiner · ${marks.notTested} not tested · ${marks.none} not examined · ${marks.unequal} left and right differ</p>`;

const pair = ([name, text]: readonly [string, string]): string =>
  `<dt>${escapeMarkup(name)}</dt><dd>${escapeMarkup(text)}</dd>`;

function section({ title, remark, blocks }: Section, look?: string): string {
  const className = look === undefined ? '' : ` class="${look}"`;
  const said = remark === undefined ? '' : `<p class="remark">${escapeMarkup(remark)}</p>`;
  return `<section${className}><h2>${escapeMarkup(title)}</h2>${said}${blocks.map(block).join('')}</section>`;
}

function block(part: Block): string {
  if (part.is === 'table') return table(part);
  const items = part.lines.map(
    (line) =>
      `<li${line.startsWith(' ') ? ' class="reason"' : ''}>${escapeMarkup(line.trim())}</li>`,
  );
  return `<ul>${items.join('')}</ul>`;
}

function table({ rowsAre, columns, rows }: SideTable): string {
  const head = [rowsAre, ...columns.map((c) => columnTitles[c])]
    .map((title) => `<th scope="col">${escapeMarkup(title)}</th>`)
    .join('');
  return `<table><thead><tr>${head}<th></th></tr></thead><tbody>${rows.map(tableRow).join('')}</tbody></table>`;
}

function tableRow({ name, cells, unequal }: Row): string {
  const values = cells
    .map((c) => `<td${c.abnormal ? ' class="abnormal"' : ''}>${escapeMarkup(c.text)}</td>`)
    .join('');
  const mark = unequal ? `<td>${marks.unequal}</td>` : '<td></td>';
  return `<tr${unequal ? ' class="unequal"' : ''}><th scope="row">${escapeMarkup(name)}</th>${values}${mark}</tr>`;
}

function drawn({ body, pathway }: Drawings): string {
  const figures = [
    [body, 'Findings on the body'],
    [pathway, 'Site of the lesion as computed'],
  ].flatMap(([svg, caption]) =>
    svg === undefined ? [] : [`<figure>${svg}<figcaption>${caption}</figcaption></figure>`],
  );
  return figures.length === 0 ? '' : `<div class="drawings">${figures.join('')}</div>`;
}

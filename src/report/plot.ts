import {
  type Finding,
  type ItemKey,
  itemKey,
  type Ms,
  mrcGrades,
  mrcNumber,
  reflexGrades,
  reflexNumber,
} from '../exam/index.ts';
import { reportEnglish } from './english/papers.ts';
import type { DrawingMessages } from './messages/drawings.ts';
import type { ReportNames } from './messages/names.ts';
import type { ReportMessages } from './messages/papers.ts';
import { itemTitle } from './name.ts';
import { escapeMarkup, sentence } from './plain.ts';
import { instantOf, type KeptReport } from './report.ts';

/** One grade at one time. */
interface Point {
  /** Hours from the first point. */
  readonly hours: number;
  readonly step: number;
  readonly grade: string;
}

interface Series {
  readonly name: string;
  readonly side: Finding['side'];
  readonly points: readonly Point[];
}

const width = 640;
const height = 260;
const margin = { left: 48, right: 16, top: 16, bottom: 40 } as const;

/** Marks and lines differ by side in shape as well: nothing is told by colour alone. */
const looks: Readonly<Record<Finding['side'], { readonly dash: string; readonly mark: string }>> = {
  left: { dash: '', mark: 'square' },
  right: { dash: '6 4', mark: 'circle' },
  midline: { dash: '2 3', mark: 'circle' },
};

type Graded = Extract<Finding, { readonly kind: 'reflex' | 'strength' }>;

/**
 * What was found, and when. An item examined again in the same exam (a magnesium infusion is watched
 * for hours) is a point each time: a value that stood for minutes before another took its place on the
 * same item was a finding of its own, one that was replaced sooner may have been a mishearing; and a
 * value that was said again later, which the record keeps as one more confirmation, was found again.
 */
function measured(report: KeptReport): readonly { readonly finding: Graded; readonly at: Ms }[] {
  const { entries, events } = report.record;
  const found = entries.flatMap(({ id, finding, at, standing }) => {
    if (finding.kind !== 'reflex' && finding.kind !== 'strength') return [];
    if (standing.is === 'withdrawn') return [];
    if (standing.is === 'superseded') {
      const next = entries.find((entry) => entry.id === standing.by);
      const stood = next !== undefined && next.at - at >= watchMs;
      if (!stood || itemKey(next.finding) !== itemKey(finding)) return [];
    }
    let last = at;
    // The first confirmation closes the read-back and may come late; only what follows is a new look.
    const again = events
      .filter((event) => event.type === 'confirmed' && event.entries.includes(id))
      .slice(1)
      .flatMap((event) => {
        const said = event.type === 'confirmed' && event.by === 'explicit';
        if (!said || event.at - last < watchMs) return [];
        last = event.at;
        return [{ finding, at: event.at }];
      });
    return [{ finding, at }, ...again];
  });
  return found.toSorted((a, b) => a.at - b.at);
}

/** How far apart two looks at one item are, at the least; a correction comes sooner. */
const watchMs = 3 * 60_000;

/** What can be drawn over time: every reflex and movement found at two times or more. */
export function plottable(
  reports: readonly KeptReport[],
  names: ReportNames = reportEnglish.names,
): readonly { readonly kind: Graded['kind']; readonly site: string; readonly name: string }[] {
  const found = new Map<string, { first: Graded; times: number[] }>();
  for (const report of reports) {
    for (const { finding, at } of measured(report)) {
      const instant = instantOf(report, at);
      if (instant === undefined || stepOf(finding) === undefined) continue;
      const item = `${finding.kind}:${finding.site}`;
      const known = found.get(item) ?? { first: finding, times: [] };
      known.times.push(Date.parse(instant));
      found.set(item, known);
    }
  }
  return [...found.values()]
    .filter(({ times }) => Math.max(...times) - Math.min(...times) >= watchMs)
    .map(({ first }) => ({
      kind: first.kind,
      site: first.site,
      name: sentence(itemTitle(first, names)),
    }));
}

/**
 * The grades of one reflex or movement over time, left and right in one plot, as SVG: over exams of
 * one label, and over a watch inside one exam. Undefined where there is nothing to plot: no grades, or
 * none with a time.
 */
export function plotGrades(
  reports: readonly KeptReport[],
  kind: 'reflex' | 'strength',
  site: string,
  messages: ReportMessages = reportEnglish,
): string | undefined {
  const points = reports.flatMap((report) =>
    measured(report).flatMap(({ finding, at }) => {
      if (finding.kind !== kind || finding.site !== site) return [];
      const instant = instantOf(report, at);
      const step = stepOf(finding);
      if (instant === undefined || step === undefined) return [];
      return [{ finding, time: Date.parse(instant), step }];
    }),
  );
  const first = Math.min(...points.map(({ time }) => time));
  const series = new Map<ItemKey, { name: string; side: Finding['side']; points: Point[] }>();
  for (const { finding, time, step } of points.toSorted((a, b) => a.time - b.time)) {
    const key = itemKey(finding);
    const known = series.get(key) ?? {
      name: itemTitle(finding, messages.names),
      side: finding.side,
      points: [],
    };
    known.points.push({ hours: (time - first) / 3_600_000, step, grade: `${finding.value}` });
    series.set(key, known);
  }
  const grades = kind === 'reflex' ? reflexGrades : mrcGrades;
  return series.size === 0
    ? undefined
    : drawn([...series.values()], grades, messages.drawings.plot);
}

function stepOf(finding: Finding): number | undefined {
  if (finding.value === 'not-tested') return undefined;
  if (finding.kind === 'reflex') return reflexNumber(finding.value);
  return finding.kind === 'strength' ? mrcNumber(finding.value) : undefined;
}

function drawn(
  series: readonly Series[],
  grades: readonly string[],
  words: DrawingMessages['plot'],
): string {
  const last = Math.max(...series.flatMap(({ points }) => points.map((p) => p.hours)));
  const x = (hours: number) =>
    round(margin.left + (last === 0 ? 0.5 : hours / last) * (width - margin.left - margin.right));
  const y = (step: number) =>
    round(
      height - margin.bottom - (step / (grades.length - 1)) * (height - margin.top - margin.bottom),
    );
  const title = sentence(series[0]?.name ?? '');
  const rows = grades.map(
    (grade, step) =>
      `<line x1="${margin.left}" x2="${width - margin.right}" y1="${y(step)}" y2="${y(step)}" stroke="#bbb"/>` +
      `<text x="${margin.left - 8}" y="${y(step) + 4}" text-anchor="end">${escapeMarkup(grade)}</text>`,
  );
  const lines = series.map(({ side, points }) => {
    const { dash, mark } = looks[side];
    const path = points.map((p) => `${x(p.hours)},${y(p.step)}`).join(' ');
    const marks = points.map((p) =>
      shape(mark, x(p.hours), y(p.step), words.grade(words.sides[side], p.grade)),
    );
    return `<g><polyline points="${path}" fill="none" stroke="#000" stroke-width="2" stroke-dasharray="${dash}"/>${marks.join('')}</g>`;
  });
  const key = series.map(({ side }, i) => {
    const at = margin.left + i * 120;
    return `${shape(looks[side].mark, at + 6, height - 8, words.sides[side])}<text x="${at + 18}" y="${height - 4}">${escapeMarkup(words.sides[side])}</text>`;
  });
  const text = series
    .map(({ side, points }) =>
      words.grades(
        words.sides[side],
        points.map(({ grade }) => grade),
      ),
    )
    .join('; ');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" font-family="sans-serif" font-size="12"><title>${escapeMarkup(title)}</title><desc>${escapeMarkup(text)}</desc>${rows.join('')}${lines.join('')}<text x="${margin.left}" y="${height - margin.bottom + 16}">${escapeMarkup(span(0, words))}</text><text x="${width - margin.right}" y="${height - margin.bottom + 16}" text-anchor="end">${escapeMarkup(span(last, words))}</text>${key.join('')}</svg>`;
}

function shape(mark: string, x: number, y: number, title: string): string {
  const inside = `<title>${escapeMarkup(title)}</title>`;
  return mark === 'square'
    ? `<rect x="${x - 5}" y="${y - 5}" width="10" height="10" fill="#000">${inside}</rect>`
    : `<circle cx="${x}" cy="${y}" r="5" fill="#fff" stroke="#000" stroke-width="2">${inside}</circle>`;
}

/** A length of time as a reader would say it. */
const span = (length: number, { hours, days }: DrawingMessages['plot']): string =>
  length < 72 ? hours(round(length)) : days(Math.round(length / 24));

const round = (n: number): number => Math.round(n * 10) / 10;

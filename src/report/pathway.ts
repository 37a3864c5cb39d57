import { type Lateral, type Segment, segments } from '../exam/index.ts';
import type { Mark, Pathway, PathwayCandidate, PathwayRun, Station } from '../localize/index.ts';
import { drawingsEnglish } from './english/drawings.ts';
import type { DrawingMessages, PathwayMessages } from './messages/drawings.ts';
import { escapeMarkup } from './plain.ts';

/** The sheet, in its own units; it scales to any width. */
const width = 760;
const middle = width / 2;
const cordTop = 236;
const step = 13.2;
/** Distance of each place from the midline. */
const reach = { tract: 9, cord: 20, root: 52, nerve: 108, end: 150 } as const;

const stationAt: Readonly<Record<Station, { readonly y: number; readonly x: number }>> = {
  hemisphere: { y: 40, x: 78 },
  'internal-capsule': { y: 84, x: 52 },
  midbrain: { y: 120, x: 26 },
  pons: { y: 152, x: 26 },
  medulla: { y: 186, x: 22 },
  cerebellum: { y: 160, x: 78 },
};

/** The examiner faces the patient: the patient's right is on the left of the sheet. */
const outward = (side: Lateral): 1 | -1 => (side === 'left' ? 1 : -1);
const at = (side: Lateral, distance: number): number => middle + outward(side) * distance;
const segmentY = (segment: Segment): number => cordTop + segments.indexOf(segment) * step;
const n = (x: number): string => (Math.round(x * 10) / 10).toString();

const signs = { less: '▼', more: '▲', normal: '○' } as const;

/**
 * The pathway from cortex to muscle, skin and tendon, with the leading sites lettered on it and what
 * was found at the ends of its ways. Shapes and letters tell everything, colour nothing; the
 * description says the same in words. SVG text, `role="img"`.
 *
 * @param id keeps the labels of several drawings on one page apart
 */
export function drawPathway(
  pathway: Pathway,
  id = 'pathway',
  messages: DrawingMessages = drawingsEnglish,
): string {
  const words = messages.pathway;
  const { candidates, runs } = pathway;
  const rows = placed(runs);
  const lowest = Math.max(segmentY('S5'), ...[...rows.values()]) + 34;
  const legendTop = lowest + 18;
  const height = legendTop + 22 * Math.max(1, candidates.length) + 26;
  const marks = candidates.flatMap((candidate) =>
    candidate.marks.flatMap((mark) => spot(mark, rows).map((point) => ({ ...point, candidate }))),
  );
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${n(height)}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="system-ui, sans-serif" font-size="11" fill="currentColor" stroke="currentColor" stroke-width="1">`,
    `<title id="${id}-title">${escapeMarkup(words.title)}</title>`,
    `<desc id="${id}-desc">${escapeMarkup(described(pathway, words))}</desc>`,
    text(at('right', 250), 20, messages.patientsRight, 'middle', 'font-weight="600"'),
    text(at('left', 250), 20, messages.patientsLeft, 'middle', 'font-weight="600"'),
    ...brain(words),
    ...cord(),
    ...runs.map((run) => way(run, rows.get(run.id) ?? 0, words)),
    ...spread(marks).map(({ x, y, candidate }) => letter(x, y, candidate.letter)),
    ...legend(candidates, legendTop, words),
    '</svg>',
  ].join('\n');
}

/** A height for each end, in order down its side, far enough apart to be read. */
function placed(runs: readonly PathwayRun[]): ReadonlyMap<string, number> {
  const rows = new Map<string, number>();
  for (const side of ['left', 'right'] as const) {
    let lowest = cordTop - 20;
    const here = runs.filter((run) => run.side === side);
    const room = segmentY('S5') + 20;
    here.forEach((run, i) => {
      const wanted = segmentY(run.segments[0]?.[0] ?? 'C1');
      // Those still to come need their room as well.
      const latest = Math.max(lowest + 15, room - (here.length - 1 - i) * 15);
      const y = Math.min(Math.max(wanted, lowest + 15), latest);
      rows.set(run.id, y);
      lowest = y;
    });
  }
  return rows;
}

function text(
  x: number,
  y: number,
  words: string,
  anchor: 'start' | 'middle' | 'end',
  more = '',
): string {
  return `<text x="${n(x)}" y="${n(y)}" text-anchor="${anchor}" stroke="none"${more === '' ? '' : ` ${more}`}>${escapeMarkup(words)}</text>`;
}

/** Stations above the cord and the tract through them, which crosses in the lower medulla. */
function brain({ stations, crossing: crossingName }: PathwayMessages): readonly string[] {
  const crossing = cordTop - 24;
  const tracts = (['left', 'right'] as const).map((side) => {
    const from = (station: Station): string =>
      `${n(at(side, stationAt[station].x))} ${stationAt[station].y}`;
    const under = side === 'left' ? 'right' : 'left';
    return `<path fill="none" d="M${from('hemisphere')} L${from('internal-capsule')} L${n(at(side, 14))} ${stationAt.midbrain.y} L${n(at(side, 12))} ${stationAt.medulla.y} L${n(at(side, 10))} ${crossing - 12} L${n(at(under, reach.tract))} ${crossing + 12} L${n(at(under, reach.tract))} ${n(segmentY('S5'))}"/>`;
  });
  const shapes = [
    `<path fill="none" d="M${middle - 120} 62 C${middle - 130} 8 ${middle - 8} 8 ${middle - 4} 40 M${middle + 120} 62 C${middle + 130} 8 ${middle + 8} 8 ${middle + 4} 40"/>`,
    `<rect fill="none" x="${middle - 32}" y="106" width="64" height="28" rx="8"/>`,
    `<rect fill="none" x="${middle - 36}" y="136" width="72" height="32" rx="12"/>`,
    `<rect fill="none" x="${middle - 28}" y="170" width="56" height="32" rx="8"/>`,
    `<ellipse fill="none" cx="${middle - 78}" cy="160" rx="28" ry="20"/>`,
    `<ellipse fill="none" cx="${middle + 78}" cy="160" rx="28" ry="20"/>`,
  ];
  const names = (Object.keys(stationAt) as Station[]).map((station) => {
    const { y } = stationAt[station];
    // Pons and cerebellum lie side by side; their names one above the other.
    const shift = station === 'pons' ? -8 : station === 'cerebellum' ? 8 : 4;
    return text(at('left', 136), y + shift, stations[station], 'start', 'font-style="italic"');
  });
  return [
    ...shapes,
    ...tracts,
    ...names,
    text(at('left', 136), crossing + 4, crossingName, 'start', 'font-style="italic"'),
  ];
}

function cord(): readonly string[] {
  const top = cordTop - 7;
  const bottom = segmentY('S5') + 7;
  const ticks = segments.map((segment) => {
    const y = segmentY(segment);
    return text(middle, y + 3, segment, 'middle', 'font-size="8"');
  });
  return [
    `<rect fill="none" x="${middle - reach.cord}" y="${top}" width="${2 * reach.cord}" height="${n(bottom - top)}" rx="12"/>`,
    ...ticks,
  ];
}

/** One way: from its segments out through root and nerve to the muscle, tendon or skin. */
function way(run: PathwayRun, y: number, messages: PathwayMessages): string {
  const [main] = run.segments;
  const to = `${n(at(run.side, reach.nerve))} ${n(y)} L${n(at(run.side, reach.end))} ${n(y)}`;
  const lines = run.segments
    .filter(([, share]) => share >= 0.2)
    .map(([segment, share]) => {
      const from = segmentY(segment);
      const principal = segment === main?.[0];
      return `<path fill="none" stroke-width="${principal ? 1 : 0.5}"${principal ? '' : ' stroke-dasharray="3 3"'} d="M${n(at(run.side, reach.cord))} ${n(from)} L${n(at(run.side, reach.root))} ${n(from)} L${to}"><title>${escapeMarkup(messages.share(run.label, segment, share))}</title></path>`;
    });
  const words = messages.end(run.label, run.value);
  const anchor = run.side === 'left' ? 'start' : 'end';
  return [
    ...lines,
    text(
      at(run.side, reach.end + 8),
      y + 4,
      signs[run.change],
      'middle',
      run.change === 'normal' ? '' : 'font-weight="700"',
    ),
    text(
      at(run.side, reach.end + 18),
      y + 4,
      words,
      anchor,
      run.change === 'normal' ? '' : 'font-weight="600"',
    ),
  ].join('\n');
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Where a candidate's letter goes. */
function spot(mark: Mark, rows: ReadonlyMap<string, number>): readonly Point[] {
  switch (mark.at) {
    case 'station':
      return [{ x: at(mark.side, stationAt[mark.station].x), y: stationAt[mark.station].y }];
    case 'segment': {
      const y = segmentY(mark.segment);
      return mark.half === 'both' ? [{ x: middle, y }] : [{ x: at(mark.half, 14), y }];
    }
    case 'root':
      return [{ x: at(mark.side, (reach.cord + reach.root) / 2), y: segmentY(mark.segment) }];
    case 'nerve': {
      const ys = mark.runs.map((run) => rows.get(run) ?? segmentY(mark.segment));
      const y =
        ys.length === 0 ? segmentY(mark.segment) : ys.reduce((a, b) => a + b, 0) / ys.length;
      return [{ x: at(mark.side, reach.nerve), y }];
    }
    case 'everywhere':
      return [];
  }
}

/** Letters that would lie on one another are set side by side. */
function spread<T extends Point & { readonly candidate: PathwayCandidate }>(
  marks: readonly T[],
): readonly T[] {
  const done: T[] = [];
  for (const mark of marks) {
    let { x } = mark;
    const away = mark.x < middle ? -1 : 1;
    while (done.some((other) => Math.abs(other.x - x) < 17 && Math.abs(other.y - mark.y) < 17))
      x += away * 18;
    done.push({ ...mark, x });
  }
  return done;
}

const letter = (x: number, y: number, name: string): string =>
  `<g><circle cx="${n(x)}" cy="${n(y)}" r="8.5" fill="Canvas" stroke-width="2"/>${text(x, y + 4, name, 'middle', 'font-weight="700"')}</g>`;

function legend(
  candidates: readonly PathwayCandidate[],
  top: number,
  messages: PathwayMessages,
): readonly string[] {
  const lines = candidates.flatMap((candidate, i) => {
    const y = top + i * 22;
    const general =
      candidate.marks.length > 0 && candidate.marks.every((mark) => mark.at === 'everywhere');
    const words = messages.candidate(candidate.name, candidate.probability, general);
    return [letter(40, y, candidate.letter), text(56, y + 4, words, 'start')];
  });
  const y = top + 22 * Math.max(1, candidates.length) + 4;
  return [...lines, text(32, y, messages.key, 'start')];
}

/** The drawing in words. */
const described = ({ candidates, runs }: Pathway, messages: PathwayMessages): string =>
  messages.described(
    candidates,
    runs
      .filter(({ change }) => change !== 'normal')
      .map(({ label, side, value, change, segments: of }) => ({
        label,
        side,
        value,
        change,
        segments: of.slice(0, 2).map(([segment]) => segment),
      })),
  );

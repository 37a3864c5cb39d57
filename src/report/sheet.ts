import {
  asymmetric,
  bearing,
  type Entry,
  type Finding,
  type Kind,
  stands,
  vocabulary,
} from '../exam/index.ts';
import {
  itemTitle,
  modalityNames,
  movementNames,
  type Region,
  siteName,
  valueText,
} from './name.ts';
import { sentence } from './plain.ts';
import type { Report } from './report.ts';

/**
 * The examination laid out as the trade writes it down, before it becomes text or a page: sections
 * in a fixed order, each a table with a left and a right, or lines. The note and the print are both
 * made from this, so they cannot say different things.
 */
export interface Section {
  readonly title: string;
  /** The scale that was used, or how to read the section. */
  readonly remark?: string;
  readonly blocks: readonly Block[];
}

export type Block = Lines | SideTable;

export interface Lines {
  readonly is: 'lines';
  readonly lines: readonly string[];
}

export interface SideTable {
  readonly is: 'table';
  /** What the rows are: "Reflex", "Upper limb". */
  readonly rowsAre: string;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
}

export type Column = 'left' | 'right' | 'midline';

export interface Row {
  readonly name: string;
  /** A cell a column, in the order of the columns. */
  readonly cells: readonly Cell[];
  /** Left and right were both graded and differ. */
  readonly unequal: boolean;
}

export interface Cell {
  readonly text: string;
  readonly abnormal: boolean;
}

export const columnTitles: Readonly<Record<Column, string>> = {
  left: 'Left',
  right: 'Right',
  midline: 'Midline',
};

/** Signs used in tables; the note and the print explain them. */
export const marks = {
  open: '(?)',
  notTested: 'NT',
  none: '–',
  unequal: '≠',
} as const;

const kindTitles: readonly (readonly [kind: Kind, title: string, remark?: string])[] = [
  ['context', 'Context'],
  [
    'reflex',
    'Tendon reflexes',
    'Scale 0 absent, 1+ diminished, 2+ normal, 3+ brisk, 4+ with clonus.',
  ],
  ['clonus', 'Clonus'],
  ['plantar', 'Plantar responses'],
  ['superficial', 'Superficial reflexes'],
  ['sign', 'Signs'],
  [
    'strength',
    'Strength',
    'MRC scale 0 to 5; plus and minus as clinics use them (the MRC divides only grade 4).',
  ],
  ['tone', 'Tone'],
  ['bulk', 'Muscle bulk'],
  ['fasciculation', 'Fasciculation'],
  ['sensation', 'Sensation'],
  ['coordination', 'Coordination'],
  ['gait', 'Gait'],
];

const shownValue = (finding: Finding): string =>
  finding.value === 'not-tested' ? marks.notTested : valueText(finding);

/** A value as a cell shows it, marked while the examiner has not closed it. */
const cellText = (entry: Entry): string =>
  entry.standing.is === 'open'
    ? `${shownValue(entry.finding)} ${marks.open}`
    : shownValue(entry.finding);

/** A table of one value a side. What stands twice is shown twice: a contradiction is never hidden. */
function sideTable(
  rowsAre: string,
  entries: readonly Entry[],
  rowName: (finding: Finding) => string,
): SideTable {
  const columns: Column[] = ['left', 'right'];
  if (entries.some((e) => e.finding.side === 'midline')) columns.push('midline');
  const rows = new Map<string, Entry[]>();
  for (const entry of entries) {
    const name = rowName(entry.finding);
    const row = rows.get(name);
    if (row === undefined) rows.set(name, [entry]);
    else row.push(entry);
  }
  return {
    is: 'table',
    rowsAre,
    columns,
    rows: [...rows].map(([name, row]) => ({
      name: sentence(name),
      cells: columns.map((side) => cell(row, side)),
      unequal: asymmetric(row.map((e) => e.finding)).length > 0,
    })),
  };
}

/**
 * A side of the row. One that was not examined says so; one that the item does not have (the midline
 * of a limb, the left of the jaw) stays empty.
 */
function cell(row: readonly Entry[], side: Column): Cell {
  const entries = row.filter((e) => e.finding.side === side);
  const onMidline = row.some((e) => e.finding.side === 'midline');
  const none = side !== 'midline' && !onMidline ? marks.none : '';
  return {
    text: entries.map(cellText).join(', then ') || none,
    abnormal: entries.some((e) => bearing(e.finding) === 'abnormal'),
  };
}

/** Entries of one kind from above downwards, as the vocabulary lists its sites. */
function inOrder(entries: readonly Entry[], kind: Kind): readonly Entry[] {
  const place = new Map(vocabulary[kind].sites.map((site, i) => [site, i]));
  return entries
    .filter((e) => e.finding.kind === kind)
    .toSorted((a, b) => (place.get(a.finding.site) ?? 0) - (place.get(b.finding.site) ?? 0));
}

const regions: readonly Region[] = ['neck', 'upper limb', 'lower limb'];

function strengthTables(entries: readonly Entry[]): readonly SideTable[] {
  return regions.flatMap((region) => {
    const here = entries.filter(
      ({ finding }) => finding.kind === 'strength' && movementNames[finding.site].region === region,
    );
    return here.length === 0 ? [] : [sideTable(sentence(region), here, movementRow)];
  });
}

const movementRow = (finding: Finding): string =>
  finding.kind === 'strength' || finding.kind === 'bulk' || finding.kind === 'fasciculation'
    ? `${movementNames[finding.site].name} (${movementNames[finding.site].muscle})`
    : siteName(finding);

function sensationTables(entries: readonly Entry[]): readonly SideTable[] {
  return Object.entries(modalityNames).flatMap(([modality, name]) => {
    const here = entries.filter(
      ({ finding }) => finding.kind === 'sensation' && finding.modality === modality,
    );
    return here.length === 0 ? [] : [sideTable(sentence(name), here, siteName)];
  });
}

const asLines = (entries: readonly Entry[]): Lines => ({
  is: 'lines',
  lines: entries.map((entry) => {
    const side = entry.finding.side === 'midline' ? '' : `, ${entry.finding.side}`;
    return `${sentence(itemTitle(entry.finding))}${side}: ${cellText(entry)}`;
  }),
});

function blocksOf(kind: Kind, entries: readonly Entry[]): readonly Block[] {
  switch (kind) {
    case 'strength':
      return strengthTables(entries);
    case 'sensation':
      return sensationTables(entries);
    case 'context':
    case 'gait':
      return [asLines(entries)];
    case 'bulk':
    case 'fasciculation':
      return [sideTable('Muscle', entries, movementRow)];
    case 'reflex':
    case 'superficial':
      return [sideTable('Reflex', entries, siteName)];
    case 'plantar':
      return [sideTable('Response', entries, itemTitle)];
    case 'clonus':
      return [sideTable('Site', entries, siteName)];
    case 'sign':
      return [sideTable('Sign', entries, siteName)];
    case 'tone':
    case 'coordination':
      return [sideTable('Part', entries, siteName)];
    default:
      return kind satisfies never;
  }
}

/** What was found, section by section; a kind nobody examined has no section. */
export function findingSections(report: Pick<Report, 'record'>): readonly Section[] {
  const standing = report.record.entries.filter(stands);
  return kindTitles.flatMap(([kind, title, remark]) => {
    const entries = inOrder(standing, kind);
    if (entries.length === 0) return [];
    const section: Section = { title, blocks: blocksOf(kind, entries) };
    return [remark === undefined ? section : { ...section, remark }];
  });
}

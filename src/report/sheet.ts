import {
  asymmetric,
  bearing,
  type Entry,
  type Finding,
  type Kind,
  type Movement,
  modalities,
  stands,
  vocabulary,
} from '../exam/index.ts';
import { reportEnglish } from './english/papers.ts';
import type { Region, ReportMessages } from './messages/papers.ts';
import { itemTitle, siteName, valueText } from './name.ts';
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

/** Kinds in the order the trade writes them down. */
const order: readonly Kind[] = [
  'context',
  'reflex',
  'clonus',
  'plantar',
  'superficial',
  'sign',
  'strength',
  'tone',
  'bulk',
  'fasciculation',
  'sensation',
  'coordination',
  'gait',
];

const shownValue = (finding: Finding, { marks, names }: ReportMessages): string =>
  finding.value === 'not-tested' ? marks.notTested : valueText(finding, names);

/** A value as a cell shows it, marked while the examiner has not closed it. */
const cellText = (entry: Entry, messages: ReportMessages): string =>
  entry.standing.is === 'open'
    ? `${shownValue(entry.finding, messages)} ${messages.marks.open}`
    : shownValue(entry.finding, messages);

/** A table of one value a side. What stands twice is shown twice: a contradiction is never hidden. */
function sideTable(
  rowsAre: string,
  entries: readonly Entry[],
  rowName: (finding: Finding) => string,
  messages: ReportMessages,
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
      cells: columns.map((side) => cell(row, side, messages)),
      unequal: asymmetric(row.map((e) => e.finding)).length > 0,
    })),
  };
}

/**
 * A side of the row. One that was not examined says so; one that the item does not have (the midline
 * of a limb, the left of the jaw) stays empty.
 */
function cell(row: readonly Entry[], side: Column, messages: ReportMessages): Cell {
  const entries = row.filter((e) => e.finding.side === side);
  const onMidline = row.some((e) => e.finding.side === 'midline');
  const none = side !== 'midline' && !onMidline ? messages.marks.none : '';
  const values = entries.map((entry) => cellText(entry, messages));
  return {
    text: values.length === 0 ? none : messages.repeated(values),
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

/** The region that a strength table puts a movement in. */
const regionOf: Readonly<Record<Movement, Region>> = {
  'neck-flexion': 'neck',
  'neck-extension': 'neck',
  'shoulder-shrug': 'upper-limb',
  'shoulder-abduction': 'upper-limb',
  'shoulder-adduction': 'upper-limb',
  'shoulder-external-rotation': 'upper-limb',
  'scapular-protraction': 'upper-limb',
  'elbow-flexion': 'upper-limb',
  brachioradialis: 'upper-limb',
  'elbow-extension': 'upper-limb',
  'forearm-pronation': 'upper-limb',
  'wrist-extension': 'upper-limb',
  'wrist-flexion': 'upper-limb',
  'finger-extension': 'upper-limb',
  'finger-flexion': 'upper-limb',
  'thumb-flexion': 'upper-limb',
  'thumb-abduction': 'upper-limb',
  'thumb-adduction': 'upper-limb',
  'finger-abduction': 'upper-limb',
  'hip-flexion': 'lower-limb',
  'hip-extension': 'lower-limb',
  'hip-abduction': 'lower-limb',
  'hip-adduction': 'lower-limb',
  'knee-extension': 'lower-limb',
  'knee-flexion': 'lower-limb',
  'ankle-dorsiflexion': 'lower-limb',
  'ankle-plantarflexion': 'lower-limb',
  'ankle-inversion': 'lower-limb',
  'ankle-eversion': 'lower-limb',
  'great-toe-extension': 'lower-limb',
  'toe-extension': 'lower-limb',
  'toe-flexion': 'lower-limb',
};
const regions: readonly Region[] = ['neck', 'upper-limb', 'lower-limb'];

function strengthTables(entries: readonly Entry[], messages: ReportMessages): readonly SideTable[] {
  return regions.flatMap((region) => {
    const here = entries.filter(
      ({ finding }) => finding.kind === 'strength' && regionOf[finding.site] === region,
    );
    const title = sentence(messages.regions[region]);
    const named = (finding: Finding): string => movementRow(finding, messages);
    return here.length === 0 ? [] : [sideTable(title, here, named, messages)];
  });
}

const movementRow = (finding: Finding, { movement, names }: ReportMessages): string =>
  finding.kind === 'strength' || finding.kind === 'bulk' || finding.kind === 'fasciculation'
    ? movement(names.movements[finding.site], names.muscles[finding.site])
    : siteName(finding, names);

function sensationTables(
  entries: readonly Entry[],
  messages: ReportMessages,
): readonly SideTable[] {
  return modalities.flatMap((modality) => {
    const here = entries.filter(
      ({ finding }) => finding.kind === 'sensation' && finding.modality === modality,
    );
    const title = sentence(messages.names.modalities[modality]);
    const named = (finding: Finding): string => siteName(finding, messages.names);
    return here.length === 0 ? [] : [sideTable(title, here, named, messages)];
  });
}

const asLines = (entries: readonly Entry[], messages: ReportMessages): Lines => ({
  is: 'lines',
  lines: entries.map((entry) => {
    const { side } = entry.finding;
    const { names } = messages;
    return messages.item(
      sentence(itemTitle(entry.finding, names)),
      side === 'midline' ? undefined : names.sides[side],
      cellText(entry, messages),
    );
  }),
});

function blocksOf(
  kind: Kind,
  entries: readonly Entry[],
  messages: ReportMessages,
): readonly Block[] {
  const { names, rowsAre } = messages;
  const site = (finding: Finding): string => siteName(finding, names);
  const table = (title: string, rowName: (finding: Finding) => string): readonly Block[] => [
    sideTable(title, entries, rowName, messages),
  ];
  switch (kind) {
    case 'strength':
      return strengthTables(entries, messages);
    case 'sensation':
      return sensationTables(entries, messages);
    case 'context':
    case 'gait':
      return [asLines(entries, messages)];
    case 'bulk':
    case 'fasciculation':
      return table(rowsAre.muscle, (finding) => movementRow(finding, messages));
    case 'reflex':
    case 'superficial':
      return table(rowsAre.reflex, site);
    case 'plantar':
      return table(rowsAre.response, (finding) => itemTitle(finding, names));
    case 'clonus':
      return table(rowsAre.site, site);
    case 'sign':
      return table(rowsAre.sign, site);
    case 'tone':
    case 'coordination':
      return table(rowsAre.part, site);
    default:
      return kind satisfies never;
  }
}

/** What was found, section by section; a kind nobody examined has no section. */
export function findingSections(
  report: Pick<Report, 'record'>,
  messages: ReportMessages = reportEnglish,
): readonly Section[] {
  const standing = report.record.entries.filter(stands);
  return order.flatMap((kind) => {
    const entries = inOrder(standing, kind);
    if (entries.length === 0) return [];
    const title = messages.kinds[kind];
    const section: Section = { title, blocks: blocksOf(kind, entries, messages) };
    const remark = messages.remarks[kind];
    return [remark === undefined ? section : { ...section, remark }];
  });
}

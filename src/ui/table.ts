import {
  asymmetric,
  bearing,
  type Entry,
  type ExamRecord,
  type Finding,
  type Kind,
  kinds,
  laterality,
  type PlanItem,
  type Side,
  standingFindings,
  stands,
  vocabulary,
} from '../exam/index.ts';
import { type ReportNames, siteName } from '../report/index.ts';

/** Everything ever recorded of one item on one side: what stands, and what it replaced. */
export interface Cell {
  readonly now: readonly Entry[];
  readonly before: readonly Entry[];
  readonly abnormal: boolean;
}

export interface Row {
  readonly key: string;
  readonly name: string;
  readonly item: PlanItem;
  readonly cells: Readonly<Record<Side, Cell>>;
  /** Told on the midline, so the row has one cell. */
  readonly single: boolean;
  readonly unequal: boolean;
}

export interface Group {
  readonly kind: Kind;
  readonly rows: readonly Row[];
}

/** Kinds in the order an examiner writes them down. */
export const bedsideOrder: readonly Kind[] = [
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

/**
 * The record as a table: a group a kind, a row an item, a cell a side. Whatever was replaced or
 * withdrawn keeps its row, so no value ever leaves the screen unseen.
 */
export function tableOf(record: ExamRecord, names: ReportNames): readonly Group[] {
  const unequal = new Set(asymmetric(standingFindings(record)).map(rowKey));
  return bedsideOrder
    .filter((kind) => kinds.includes(kind))
    .flatMap((kind) => {
      const rows = new Map<string, Entry[]>();
      for (const entry of inOrder(record.entries, kind)) {
        const key = rowKey(entry.finding);
        rows.set(key, [...(rows.get(key) ?? []), entry]);
      }
      return rows.size === 0
        ? []
        : [{ kind, rows: [...rows].map(([key, row]) => rowOf(key, row, unequal.has(key), names)) }];
    });
}

const rowKey = (finding: Finding): string =>
  `${finding.kind}:${finding.site}${finding.kind === 'sensation' ? `/${finding.modality}` : ''}`;

function inOrder(entries: readonly Entry[], kind: Kind): readonly Entry[] {
  const { sites } = vocabulary[kind];
  const place = (entry: Entry): number => sites.indexOf(entry.finding.site);
  return entries.filter((e) => e.finding.kind === kind).toSorted((a, b) => place(a) - place(b));
}

function rowOf(key: string, entries: readonly Entry[], unequal: boolean, names: ReportNames): Row {
  const cell = (side: Side): Cell => {
    const here = entries.filter((entry) => entry.finding.side === side);
    const now = here.filter(stands);
    return {
      now,
      before: here.filter((entry) => !stands(entry)),
      abnormal: now.some((entry) => bearing(entry.finding) === 'abnormal'),
    };
  };
  const [first] = entries;
  if (first === undefined) throw new RangeError('a row of the record has no entry');
  const { finding } = first;
  const { kind, site } = finding;
  const cells = { left: cell('left'), right: cell('right'), midline: cell('midline') };
  const lateral =
    cells.left.now.length +
    cells.left.before.length +
    cells.right.now.length +
    cells.right.before.length;
  return {
    key,
    name: rowName(finding, names),
    item:
      finding.kind === 'sensation' ? { kind, site, modality: finding.modality } : { kind, site },
    cells,
    single: lateral === 0 && laterality(kind, site) !== 'paired',
    unequal,
  };
}

const rowName = (finding: Finding, names: ReportNames): string =>
  finding.kind === 'sensation'
    ? names.felt(siteName(finding, names), names.modalities[finding.modality])
    : siteName(finding, names);

import type { Course } from './course.ts';
import { coursesOf } from './courses.ts';
import { type Item, itemId, scaleOf } from './item.ts';
import { lesions as everyLesion, type Lesion } from './lesion.ts';
import { type Pair, pairShare, pairsOf } from './pair.ts';
import { priors } from './prior.ts';
import { combineTable, exactLog } from './scale.ts';
import { codeOf } from './state.ts';

/** A hypothesis as the model counts it: one lesion, or two. */
export interface Candidate {
  readonly first: number;
  /** The second lesion, where there are two. */
  readonly second: number | undefined;
}

/**
 * All that is fixed before an exam: the lesions, the ways each may run (rows), the pairs, and for
 * each item a column telling the state every row puts it in. Columns are made when an item is first
 * asked for and kept.
 *
 * Rows `0 … singles-1` are one lesion run one way. From `singles` on a row is two lesions, each run
 * one way, told by `rowA` and `rowB`, which point at rows of one lesion.
 */
export interface Model {
  readonly lesions: readonly Lesion[];
  readonly courses: readonly { readonly lesion: number; readonly course: Course }[];
  readonly candidates: readonly Candidate[];
  readonly singles: number;
  readonly rows: number;
  readonly rowA: Uint16Array;
  readonly rowB: Uint16Array;
  /** The candidate each row belongs to; rows of a candidate are neighbours. */
  readonly owner: Uint16Array;
  /** Log of prior times share of the course. */
  readonly start: Float64Array;
  /** The state of an item in every row, pairs too; a code of the item's scale. */
  column(item: Item): Uint8Array;
  /** The state of one item in one row, without filling the whole column. */
  code(item: Item, row: number): number;
}

/** Of each lesion in a pair, this many of its commonest courses are followed. */
const pairCourses = 3;

export interface ModelParts {
  readonly lesions?: readonly Lesion[];
  readonly pairs?: boolean;
  readonly coursesOf?: (lesion: Lesion) => readonly Course[];
}

/** Builds a model over the given lesions, all of them unless told otherwise. */
export function createModel(parts: ModelParts = {}): Model {
  const lesions = parts.lesions ?? everyLesion;
  const prior = priors(lesions);
  const pairs: readonly Pair[] = parts.pairs === false ? [] : pairsOf(lesions, prior);
  const ways = parts.coursesOf ?? coursesOf;
  const singleShare = pairs.length > 0 ? 1 - pairShare : 1;

  const courses: { lesion: number; course: Course }[] = [];
  const rowsOf: number[][] = [];
  const start: number[] = [];
  lesions.forEach((lesion, i) => {
    rowsOf.push([]);
    for (const course of ways(lesion)) {
      rowsOf[i]?.push(courses.length);
      courses.push({ lesion: i, course });
      start.push(exactLog(singleShare * (prior[i] ?? 0) * course.weight));
    }
  });
  const singles = courses.length;
  const candidates: Candidate[] = lesions.map((_, first) => ({ first, second: undefined }));
  const owner: number[] = courses.map(({ lesion }) => lesion);
  const rowA: number[] = [];
  const rowB: number[] = [];
  const common = rowsOf.map((rows) => commonest(rows, courses));
  for (const { first, second, weight } of pairs) {
    const candidate = candidates.length;
    candidates.push({ first, second });
    for (const [a, shareA] of common[first] ?? []) {
      for (const [b, shareB] of common[second] ?? []) {
        rowA.push(a);
        rowB.push(b);
        owner.push(candidate);
        start.push(exactLog(pairShare * weight * shareA * shareB));
      }
    }
  }

  const rows = owner.length;
  const columns = new Map<string, Uint8Array>();
  /** Codes of single lesions asked for one by one, -1 where not yet. */
  const looked = new Map<string, Int16Array>();
  const singleCode = (item: Item, id: string, row: number): number => {
    const some = looked.get(id) ?? new Int16Array(singles).fill(-1);
    looked.set(id, some);
    const known = some[row] ?? -1;
    if (known >= 0) return known;
    const way = courses[row];
    const lesion = lesions[way?.lesion ?? -1];
    const code = way === undefined || lesion === undefined ? 0 : codeOf(lesion, way.course, item);
    some[row] = code;
    return code;
  };
  return {
    lesions,
    courses,
    candidates,
    singles,
    rows,
    rowA: Uint16Array.from(rowA),
    rowB: Uint16Array.from(rowB),
    owner: Uint16Array.from(owner),
    start: Float64Array.from(start),
    column(item) {
      const id = itemId(item);
      const known = columns.get(id);
      if (known !== undefined) return known;
      const scale = scaleOf(item);
      const together = combineTable(scale);
      const column = new Uint8Array(rows);
      for (let row = 0; row < singles; row++) column[row] = singleCode(item, id, row);
      for (let row = singles, p = 0; row < rows; row++, p++) {
        const a = column[rowA[p] as number] as number;
        const b = column[rowB[p] as number] as number;
        column[row] = together[a * scale.codes + b] as number;
      }
      columns.set(id, column);
      looked.delete(id);
      return column;
    },
    code(item, row) {
      const id = itemId(item);
      const full = columns.get(id);
      if (full !== undefined) return full[row] ?? 0;
      const p = row - singles;
      if (p < 0) return singleCode(item, id, row);
      const scale = scaleOf(item);
      const a = singleCode(item, id, rowA[p] ?? 0);
      const b = singleCode(item, id, rowB[p] ?? 0);
      return combineTable(scale)[a * scale.codes + b] ?? 0;
    },
  };
}

function commonest(
  rows: readonly number[],
  courses: readonly { readonly course: Course }[],
): readonly (readonly [row: number, share: number])[] {
  const weight = (row: number): number => courses[row]?.course.weight ?? 0;
  const chosen = [...rows].sort((a, b) => weight(b) - weight(a) || a - b).slice(0, pairCourses);
  const sum = chosen.reduce((total, row) => total + weight(row), 0);
  return chosen.map((row) => [row, weight(row) / sum]);
}

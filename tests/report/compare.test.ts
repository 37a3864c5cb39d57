import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type EntryId, type Finding, fold, ms } from '../../src/exam/index.ts';
import {
  changeLines,
  changeOf,
  compare,
  inTime,
  type KeptReport,
  plotGrades,
  writeComparison,
} from '../../src/report/index.ts';
import { anyFinding } from './arbitrary.ts';

const knee = (side: 'left' | 'right', value: '0' | '1+' | '2+' | '3+'): Finding => ({
  kind: 'reflex',
  site: 'patellar',
  side,
  value,
});

const exam = (startedAt: string, ...findings: readonly Finding[]): KeptReport => ({
  exam: startedAt,
  startedAt,
  record: fold([
    { type: 'started', at: ms(0), plan: 'full' },
    ...findings.map((finding, i) => ({
      type: 'recorded' as const,
      at: ms(i * 1000),
      entry: (i + 1) as EntryId,
      finding,
      hearing: { words: '' },
    })),
  ]),
});

/** An invented watch of the knee jerks on a magnesium infusion, three rounds. */
const watch = [
  exam('2026-11-25T09:00:00Z', knee('left', '2+'), knee('right', '2+')),
  exam('2026-11-25T11:00:00Z', knee('left', '1+'), knee('right', '2+')),
  exam('2026-11-25T13:00:00Z', knee('left', '0'), knee('right', '2+')),
];

describe('exams over time', () => {
  test('stand in the order of their time, whatever order they came in', () => {
    expect(inTime(watch.toReversed())).toEqual(watch);
  });

  test('show each item once with its finding in each exam', () => {
    const [left, right] = compare(watch);
    expect(left).toMatchObject({ name: 'Left patellar reflex', change: 'worse' });
    expect(left?.findings.map((f) => f?.value)).toEqual(['2+', '1+', '0']);
    expect(right).toMatchObject({ name: 'Right patellar reflex', change: 'same' });
  });

  test('are told as what changed, for the page and for the voice', () => {
    expect(changeLines(compare(watch))).toEqual(['Left patellar reflex: 1+ to 0, WORSE']);
  });

  // Reflex scale: 2+ is the normal (Walker HK, Clinical Methods, 3rd ed., 1990).
  test.each<[Finding, Finding, string]>([
    [knee('left', '3+'), knee('left', '2+'), 'better'],
    [knee('left', '2+'), knee('left', '3+'), 'worse'],
    [knee('left', '1+'), knee('left', '3+'), 'other'],
    [knee('left', '1+'), knee('left', '1+'), 'same'],
    [
      { kind: 'strength', site: 'hip-flexion', side: 'left', value: '4-' },
      { kind: 'strength', site: 'hip-flexion', side: 'left', value: '4' },
      'better',
    ],
    [
      { kind: 'plantar', site: 'foot', side: 'left', value: 'flexor' },
      { kind: 'plantar', site: 'foot', side: 'left', value: 'extensor' },
      'worse',
    ],
    [
      { kind: 'sensation', site: 'L5', side: 'left', modality: 'pinprick', value: 'increased' },
      { kind: 'sensation', site: 'L5', side: 'left', modality: 'pinprick', value: 'absent' },
      'other',
    ],
  ])('%# change is judged by the distance from the normal', (before, after, change) => {
    expect(changeOf(before, after)).toBe(change);
  });

  test('never compare what was not tested', () => {
    const untested = { ...knee('left', '2+'), value: 'not-tested' } as Finding;
    expect(changeOf(untested, knee('left', '2+'))).toBe('not-comparable');
    expect(changeOf(undefined, knee('left', '2+'))).toBe('not-comparable');
  });

  test('turn better into worse when they are read backwards', () => {
    const turned = { better: 'worse', worse: 'better' } as Readonly<Record<string, string>>;
    fc.assert(
      fc.property(fc.tuple(anyFinding, anyFinding), ([one, other]) => {
        fc.pre(one.kind === other.kind);
        const change = changeOf(one, other);
        expect(changeOf(other, one)).toBe(turned[change] ?? change);
      }),
      { numRuns: 500 },
    );
  }, 60_000);

  test('are written side by side', () => {
    expect(writeComparison(watch)).toContain('Left patellar reflex   2+');
    expect(writeComparison(watch)).toMatch(/Left patellar reflex +2\+ +1\+ +0 +WORSE\n/);
  });
});

describe('the plot of grades', () => {
  const svg = plotGrades(watch, 'reflex', 'patellar') ?? '';

  test('has a point for each grade, left and right told apart without colour', () => {
    expect(svg.match(/<title>left /g)).toHaveLength(3);
    expect(svg.match(/<title>right /g)).toHaveLength(3);
    expect(svg.match(/<rect /g)).toHaveLength(4);
    expect(svg).toContain('stroke-dasharray="6 4"');
  });

  test('says in words what it shows', () => {
    expect(svg).toContain('<title>Patellar reflex</title>');
    expect(svg).toContain('<desc>left: 2+, 1+, 0; right: 2+, 2+, 2+</desc>');
    expect(svg).toContain('>4 h</text>');
  });

  test('puts a lower grade lower', () => {
    const heights = [
      ...(/<polyline points="([^"]+)"/.exec(svg)?.[1]?.matchAll(/,([\d.]+)/g) ?? []),
    ];
    const [first = 0, second = 0, third = 0] = heights.map((m) => Number(m[1]));
    expect(first).toBeLessThan(second);
    expect(second).toBeLessThan(third);
  });

  test('is not drawn of nothing', () => {
    expect(plotGrades(watch, 'strength', 'hip-flexion')).toBeUndefined();
    expect(plotGrades([], 'reflex', 'patellar')).toBeUndefined();
  });
});

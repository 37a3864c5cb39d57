import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { EntryId, Finding } from '../../src/exam/index.ts';
import {
  type Clip,
  checkReview,
  differences,
  firstChange,
  partsOf,
  type Review,
  type Verdict,
} from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';

const clip: Clip = {
  kind: 'clip',
  entries: [16 as EntryId],
  words: 'left big toe four minus',
  readBack: 'left great toe extension four minus',
  wav: 'UklGRg==',
};
const sent = partsOf(rootExam, [clip], [{ kind: 'opinion', by: 'Trainee', site: 'root:L5' }]);

const toe: Finding = { kind: 'strength', site: 'great-toe-extension', side: 'right', value: '4' };
const verdicts: readonly Verdict[] = [
  { kind: 'verdict', by: 'Supervisor', entry: 1 as EntryId, verdict: 'agree' },
  {
    kind: 'verdict',
    by: 'Supervisor',
    entry: 15 as EntryId,
    verdict: 'amend',
    finding: { ...toe, side: 'left', value: '3' },
    remark: 'gave way\nat once',
  },
  { kind: 'verdict', by: 'Supervisor', entry: 16 as EntryId, verdict: 'query' },
  { kind: 'verdict', by: 'Supervisor', entry: 16 as EntryId, verdict: 'amend', finding: toe },
];

const reviewOf = (parts: readonly unknown[]): Review => {
  const checked = checkReview(JSON.parse(JSON.stringify(parts)));
  if (!checked.ok) throw new Error(`${checked.fault.path} ${checked.fault.message}`);
  return checked.value;
};

describe('a review', () => {
  test('gives the exam, its sound and the opinions as they were sent', () => {
    const review = reviewOf(sent);
    const { exam, record, examiner, patientLabel, startedAt } = rootExam;
    expect(review.kept).toMatchObject({ exam, record, examiner, patientLabel, startedAt });
    expect(review.clips).toEqual([clip]);
    expect(review.opinions).toEqual([{ kind: 'opinion', by: 'Trainee', site: 'root:L5' }]);
  });

  test('shows the trainee every difference, the last word counting', () => {
    const all = differences(reviewOf([...sent, ...verdicts]));
    const of = (id: number) => all.find(({ entry }) => entry.id === id);
    expect(of(1)).toMatchObject({ verdict: 'agree' });
    expect(of(2)).toMatchObject({ verdict: 'open' });
    expect(of(15)?.text).toBe(
      'left great toe extension strength: 4-, amended to left great toe extension strength: 3 (gave way at once)',
    );
    expect(of(16)).toMatchObject({ verdict: 'amend', amended: toe });
    // Replaced and withdrawn entries are not reviewed.
    expect(of(4)).toBeUndefined();
    expect(of(9)).toBeUndefined();
  });

  test('takes an amendment to the very same value for agreement', () => {
    const same: Verdict = {
      kind: 'verdict',
      by: 'Supervisor',
      entry: 15 as EntryId,
      verdict: 'amend',
      finding: { ...toe, side: 'left', value: '4-' },
    };
    const all = differences(reviewOf([...sent, same]));
    expect(all.find(({ entry }) => entry.id === 15)?.verdict).toBe('agree');
  });

  test.each<[string, readonly unknown[]]>([
    ['without an exam', sent.slice(1)],
    ['with two', [...sent, sent[0]]],
    ['with a verdict on nothing', [...sent, { ...verdicts[0], entry: 99 }]],
    ['with an unknown verdict', [...sent, { ...verdicts[0], verdict: 'approve' }]],
    [
      'with a finding off its scale',
      [...sent, { ...verdicts[3], finding: { ...toe, value: '6' } }],
    ],
    ['with an amendment to nothing', [...sent, { ...verdicts[3], finding: undefined }]],
    ['with a part of no kind', [...sent, { kind: 'script' }]],
    ['with a field too many', [...sent, { ...verdicts[0], onload: 'x' }]],
    ['with a hole', [...sent, undefined]],
  ])('%s is refused', (_, parts) => {
    expect(checkReview(parts).ok).toBe(false);
  });

  test('points at the first event that came back otherwise', () => {
    fc.assert(
      fc.property(anyReport, fc.nat(), (report, n) => {
        const { events } = report.record;
        expect(firstChange(events, structuredClone(events))).toBeUndefined();
        const at = n % events.length;
        expect(firstChange(events, events.toSpliced(at))).toBe(at);
        const changed = events.map((e, i) => (i === at ? { ...e, at: e.at + 1 } : e));
        expect(firstChange(events, changed as typeof events)).toBe(at);
      }),
      { numRuns: 50 },
    );
  }, 60_000);
});

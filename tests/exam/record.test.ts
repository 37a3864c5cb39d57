import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  append,
  asymmetric,
  bearing,
  checkFinding,
  checkFindings,
  type EntryId,
  type ExamEvent,
  emptyRecord,
  type Finding,
  fold,
  gaps,
  lastUndoable,
  mirror,
  mrcGrades,
  ms,
  openEntries,
  ownPlanId,
  planItemId,
  planItems,
  planOf,
  plans,
  reflexGrades,
  sides,
  standingFindings,
  vocabulary,
} from '../../src/exam/index.ts';

const patellar = (side: 'left' | 'right', value: '2+' | '3+'): Finding => ({
  kind: 'reflex',
  site: 'patellar',
  side,
  value,
});
const recorded = (entry: number, finding: Finding): ExamEvent => ({
  type: 'recorded',
  at: ms(entry),
  entry: entry as EntryId,
  finding,
  hearing: { words: '' },
});

describe('scales, against the published ones', () => {
  test('reflexes: 0 to 4+ (Walker HK, Deep Tendon Reflexes, Clinical Methods 3rd ed., 1990)', () => {
    expect(reflexGrades).toEqual(['0', '1+', '2+', '3+', '4+']);
    expect(bearing({ kind: 'reflex', site: 'biceps', side: 'left', value: '2+' })).toBe('normal');
    expect(bearing({ kind: 'reflex', site: 'biceps', side: 'left', value: '0' })).toBe('abnormal');
  });
  test('strength: whole grades 0 to 5 (MRC Memorandum 45, 1976); marks are clinic usage', () => {
    const whole = mrcGrades.filter((grade) => /^\d$/.test(grade));
    expect(whole).toEqual(['0', '1', '2', '3', '4', '5']);
    expect(mrcGrades.indexOf('4-')).toBeLessThan(mrcGrades.indexOf('4'));
    expect(mrcGrades.indexOf('4')).toBeLessThan(mrcGrades.indexOf('4+'));
  });
  test('the plans ask for the ISNCSCI key muscles (ASIA/ISCoS worksheet, 2019 revision)', () => {
    const key = [
      'elbow-flexion',
      'wrist-extension',
      'elbow-extension',
      'finger-flexion',
      'finger-abduction',
      'hip-flexion',
      'knee-extension',
      'ankle-dorsiflexion',
      'great-toe-extension',
      'ankle-plantarflexion',
    ];
    for (const id of ['full', 'cord']) {
      const strength = planOf(id)?.items.filter(({ kind }) => kind === 'strength') ?? [];
      expect(strength.map(({ site }) => site)).toEqual(expect.arrayContaining(key));
    }
  });
});

describe('a finding from outside is held against the vocabulary', () => {
  test.each([
    ['a grade off its scale', { ...patellar('left', '2+'), value: '6+' }, 'finding.value'],
    ['an unknown site', { ...patellar('left', '2+'), site: 'elbow' }, 'finding.site'],
    ['an unknown side', { ...patellar('left', '2+'), side: 'both' }, 'finding.side'],
    [
      'a paired reflex on the midline',
      { ...patellar('left', '2+'), side: 'midline' },
      'finding.side',
    ],
    ['a field that does not exist', { ...patellar('left', '2+'), note: 'x' }, 'finding.note'],
    [
      'sensation without modality',
      { kind: 'sensation', site: 'L5', side: 'left', value: 'reduced' },
      'finding.modality',
    ],
    [
      'half a beat',
      { kind: 'clonus', site: 'ankle', side: 'left', value: 'sustained', beats: 2.5 },
      'finding.beats',
    ],
    [
      'an age of 300',
      { kind: 'context', site: 'age', side: 'midline', value: 300 },
      'finding.value',
    ],
    ['no object at all', 'patellar', 'finding'],
  ])('%s is refused', (_, input, path) => {
    const checked = checkFinding(input);
    expect(checked.ok).toBe(false);
    if (!checked.ok) expect(checked.fault.path).toBe(path);
  });
  test('"not tested" is a value of every kind and never normal', () => {
    for (const [kind, { sites }] of Object.entries(vocabulary)) {
      const modality = kind === 'sensation' ? { modality: 'pinprick' } : {};
      const faults = sides.map((side) =>
        checkFinding({ kind, site: sites[0], side, value: 'not-tested', ...modality }),
      );
      const accepted = faults.find((checked) => checked.ok);
      expect(accepted?.ok, kind).toBe(true);
      if (accepted?.ok) expect(bearing(accepted.value)).toBe('not-tested');
    }
  });
  test('a list names the place of what is wrong', () => {
    const checked = checkFindings([patellar('left', '2+'), { kind: 'smell' }]);
    expect(checked.ok ? '' : checked.fault.path).toBe('findings[1].kind');
  });
});

describe('the record', () => {
  test('a corrected finding stays visible as superseded', () => {
    const record = fold([
      recorded(1, patellar('left', '2+')),
      {
        type: 'corrected',
        at: ms(2),
        entry: 2 as EntryId,
        supersedes: 1 as EntryId,
        finding: patellar('left', '3+'),
        hearing: { words: '' },
      },
    ]);
    expect(standingFindings(record)).toEqual([patellar('left', '3+')]);
    expect(record.entries[0]?.standing).toEqual({ is: 'superseded', by: 2 });
  });
  test('undo is the inverse of any event, and undoing the undo brings it back', () => {
    const events: readonly ExamEvent[] = [
      recorded(1, patellar('left', '2+')),
      { type: 'confirmed', at: ms(2), entries: [1 as EntryId], by: 'explicit' },
      recorded(2, patellar('right', '3+')),
      { type: 'withdrawn', at: ms(4), entries: [2 as EntryId] },
      { type: 'completed', at: ms(5) },
    ];
    fc.assert(
      fc.property(fc.integer({ min: 1, max: events.length }), (n) => {
        const before = fold(events.slice(0, n - 1));
        const done = fold(events.slice(0, n));
        const undone = append(done, { type: 'undone', at: ms(9), event: n - 1 });
        expect(undone.entries).toEqual(before.entries);
        expect(undone.complete).toBe(before.complete);
        const redone = append(undone, { type: 'undone', at: ms(10), event: n });
        expect(redone.entries).toEqual(done.entries);
      }),
    );
  });
  test('with one event more it is what all its events make, and keeps the entries that were not touched', () => {
    const events: readonly ExamEvent[] = [
      { type: 'started', at: ms(1), plan: 'cord' },
      recorded(1, patellar('left', '2+')),
      recorded(2, patellar('right', '2+')),
      { type: 'confirmed', at: ms(4), entries: [1 as EntryId], by: 'implicit' },
      {
        type: 'corrected',
        at: ms(5),
        entry: 3 as EntryId,
        supersedes: 2 as EntryId,
        finding: patellar('right', '3+'),
        hearing: { words: '' },
      },
      { type: 'completed', at: ms(6) },
      { type: 'undone', at: ms(7), event: 4 },
      { type: 'withdrawn', at: ms(8), entries: [2 as EntryId] },
    ];
    const steps = events.map((_, n) => events.slice(0, n + 1).reduce(append, emptyRecord));
    expect(steps).toEqual(events.map((_, n) => fold(events.slice(0, n + 1))));
    const before = events.slice(0, 4).reduce(append, emptyRecord);
    const after = events.slice(4, 6).reduce(append, before);
    expect(after.entries[0]).toBe(before.entries[0]);
    expect(after.entries[1]).not.toBe(before.entries[1]);
  });
  test('an undo of what was never done is refused', () => {
    expect(() => append(emptyRecord, { type: 'undone', at: ms(0), event: 0 })).toThrow(RangeError);
    expect(lastUndoable(emptyRecord)).toBe(-1);
  });
  test('only open entries can be confirmed', () => {
    const record = fold([
      recorded(1, patellar('left', '2+')),
      { type: 'withdrawn', at: ms(2), entries: [1 as EntryId] },
      { type: 'confirmed', at: ms(3), entries: [1 as EntryId], by: 'explicit' },
    ]);
    expect(record.entries[0]?.standing).toEqual({ is: 'withdrawn' });
    expect(openEntries(record)).toEqual([]);
  });
});

describe('what is left, and what differs', () => {
  test('a plan is empty when every item was found or said to be untested', () => {
    for (const plan of plans) {
      const findings = gaps(emptyRecord, plan).flatMap(({ kind, site, modality, sides: open }) =>
        open.map(
          (side) =>
            ({
              kind,
              site,
              side,
              value: 'not-tested',
              ...(modality ? { modality } : {}),
            }) as Finding,
        ),
      );
      const record = fold(findings.map((finding, i) => recorded(i + 1, finding)));
      expect(gaps(record, plan), plan.id).toEqual([]);
    }
  });
  test('so is a plan of one’s own with everything in it', () => {
    const plan = planOf(ownPlanId(planItems.map(planItemId)));
    if (plan === undefined) throw new Error('no plan');
    expect(plan.items).toHaveLength(planItems.length);
    const findings = gaps(emptyRecord, plan).flatMap(({ kind, site, modality, sides: open }) =>
      open.map((side): Finding => {
        const how = modality === undefined ? {} : { modality };
        return { kind, site, side, value: 'not-tested', ...how } as Finding;
      }),
    );
    const record = fold(findings.map((finding, i) => recorded(i + 1, finding)));
    expect(gaps(record, plan)).toEqual([]);
  });
  test('what may be told on either side is examined once told on one', () => {
    const plan = planOf(ownPlanId(['sign:gaze-palsy']));
    if (plan === undefined) throw new Error('no plan');
    const gaze: Finding = { kind: 'sign', site: 'gaze-palsy', side: 'left', value: 'present' };
    expect(gaps(fold([recorded(1, gaze)]), plan)).toEqual([]);
  });
  test('an own plan that names what is not in the vocabulary is none', () => {
    expect(planOf('own:reflex:patellar,reflex:wing')).toBeUndefined();
    expect(planOf('own:')).toBeUndefined();
  });
  test('a finding on one side leaves the other', () => {
    const plan = planOf('reflexes');
    if (plan === undefined) throw new Error('no plan');
    const left = gaps(fold([recorded(1, patellar('left', '2+'))]), plan);
    expect(left.find(({ site }) => site === 'patellar')?.sides).toEqual(['right']);
  });
  test('asymmetry mirrors', () => {
    const findings = [patellar('left', '2+'), patellar('right', '3+')];
    expect(asymmetric(findings)).toHaveLength(2);
    const mirrored = findings.map((f): Finding => ({ ...f, side: mirror(f.side) }));
    expect(asymmetric(mirrored)).toHaveLength(2);
    expect(asymmetric([patellar('left', '2+'), patellar('right', '2+')])).toEqual([]);
  });
});

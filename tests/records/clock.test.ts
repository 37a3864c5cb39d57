import { signal } from '@preact/signals';
import { expect, test } from 'vitest';
import { createExam } from '../../src/app/exam.ts';
import { english } from '../../src/app/language.ts';
import { defaultSettings } from '../../src/app/settings.ts';
import { type ExamEvent, fold, ms, standingFindings } from '../../src/exam/index.ts';
import { plotGrades, plottable, toFhir } from '../../src/report/index.ts';

/** An exam in the page without a page, on a clock that a test sets. */
function examAt(clock: { now: number }) {
  const kept: ExamEvent[] = [];
  const exam = createExam({
    language: english(),
    now: () => ms(clock.now),
    mouth: { say: () => {}, hush: () => {}, quiet: async () => {} },
    settings: signal(defaultSettings),
    help: () => {},
    records: () => {},
    question: () => {},
    keep: (_id, event) => {
      kept.push(event);
      return undefined;
    },
    localizer: { prepare: () => {}, localize: async () => undefined },
    notice: () => {},
    planDone: '',
  });
  return { exam, kept };
}

const noon = Date.parse('2026-11-25T12:00:00Z');

test('a clock that is set back puts no event before an earlier one, and one undo takes back one act', () => {
  const clock = { now: noon };
  const { exam, kept } = examAt(clock);
  exam.type('right patellar 3+');
  clock.now -= 3_600_000;
  exam.type('left patellar 2+');
  exam.type('right biceps 2+');
  const times = kept.map(({ at }) => at);
  expect(times).toEqual(times.toSorted((a, b) => a - b));
  exam.type('undo');
  expect(standingFindings(exam.session.state.record)).toHaveLength(2);
  const dates = toFhir(exam.report()).entry.flatMap(({ resource }) =>
    resource.resourceType === 'Observation' ? (resource.effectiveDateTime ?? '') : [],
  );
  expect(dates).toEqual(dates.toSorted());
  expect(dates.every((date) => date >= '2026-11-25T12:00:00')).toBe(true);
});

test('an exam gone on with after the clock was set back goes on from its last event', () => {
  const clock = { now: noon };
  const before = examAt(clock);
  before.exam.type('right patellar 3+');
  clock.now -= 86_400_000;
  const { exam, kept } = examAt(clock);
  exam.take({ id: 'one', record: fold(before.kept), startedAt: new Date(noon).toISOString() });
  exam.type('left patellar 2+');
  expect(kept.at(-1)?.at).toBeGreaterThan(before.kept.at(-1)?.at ?? 0);
});

test('a reflex watched over hours in one exam is drawn as a point each time it was found', () => {
  const clock = { now: noon };
  const { exam } = examAt(clock);
  const minutes = 60_000;
  for (const said of ['right patellar 2+', 'right patellar 2+', 'right patellar 1+']) {
    exam.type(said);
    exam.type('yes');
    clock.now += 60 * minutes;
  }
  // Put right at once: it was never found.
  exam.type('right patellar 4+');
  clock.now += minutes;
  exam.type('correction right patellar 0');
  exam.type('yes');
  const report = exam.report();
  expect(plottable([report]).map(({ site }) => site)).toEqual(['patellar']);
  const plot = plotGrades([report], 'reflex', 'patellar');
  expect(/<desc>(.*)<\/desc>/.exec(plot ?? '')?.[1]).toBe('right: 2+, 2+, 1+, 0');
  expect(plot).toContain('>3 h</text>');
});

test('what is said back, aloud or in writing, waits for the disk', async () => {
  const clock = { now: noon };
  let kept: () => void = () => {};
  const said: string[] = [];
  const exam = createExam({
    language: english(),
    now: () => ms(clock.now++),
    mouth: { say: (text) => said.push(text), hush: () => {}, quiet: async () => {} },
    settings: signal(defaultSettings),
    help: () => {},
    records: () => {},
    question: () => {},
    keep: (_id, event) =>
      event.type === 'started'
        ? undefined
        : new Promise<void>((resolve) => {
            kept = resolve;
          }),
    localizer: { prepare: () => {}, localize: async () => undefined },
    notice: () => {},
    planDone: '',
  });
  exam.type('right patellar 3+');
  await new Promise((resolve) => setTimeout(resolve, 10));
  expect(said).toEqual([]);
  expect(exam.said.value).toEqual([]);
  kept();
  await new Promise((resolve) => setTimeout(resolve, 10));
  expect(said).toHaveLength(1);
  expect(said[0]).toMatch(/^Right patellar,? three plus/);
  expect(exam.said.value).toHaveLength(1);
});

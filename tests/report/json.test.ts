import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fold } from '../../src/exam/index.ts';
import { checkEvents, fromJson, toJson } from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';
import { recordSchema } from './schema.ts';

const changed = (change: (file: Record<string, unknown>) => void): string => {
  const file = JSON.parse(toJson(rootExam));
  change(file);
  return JSON.stringify(file);
};

const faultOf = (text: string): string => {
  const read = fromJson(text);
  return read.ok ? 'read without a fault' : `${read.fault.path} ${read.fault.message}`;
};

describe('the record as JSON', () => {
  test('of any exam meets the published schema and comes back exactly', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const text = toJson(report);
        expect(recordSchema.validator(JSON.parse(text))).toBe(true);
        const read = fromJson(text);
        const { notExamined: _, ...kept } = report;
        expect(read).toEqual({ ok: true, value: kept });
      }),
      { numRuns: 200 },
    );
  }, 60_000);

  test('holds the findings that stand, for programs that know no events', () => {
    const { findings } = JSON.parse(toJson(rootExam));
    expect(findings).toContainEqual({
      kind: 'reflex',
      site: 'patellar',
      side: 'left',
      value: '2+',
    });
    expect(findings).not.toContainEqual({
      kind: 'reflex',
      site: 'patellar',
      side: 'left',
      value: '3+',
    });
  });

  test('is refused when its findings are not those of its events', () => {
    const text = changed((file) => {
      const [, , , first] = file.findings as { side: string }[];
      if (first !== undefined) first.side = 'left';
    });
    expect(faultOf(text)).toBe(
      'record.findings are not what the events amount to; the file was changed',
    );
  });

  test.each([
    ['', 'record is not JSON; choose a record that Plessor wrote'],
    ['[]', 'record is not a record; choose one that Plessor wrote'],
    ['{}', 'record.format is not "plessor-record"; choose a record that Plessor wrote'],
    [
      changed((f) => {
        f.version = 2;
      }),
      'record.version is newer than this program knows; update the program',
    ],
    [
      changed((f) => {
        f.surprise = 1;
      }),
      'record.surprise is not a field of a record',
    ],
    [
      changed((f) => {
        f.events = [{ type: 'undone', at: 0, event: 0 }];
      }),
      'record.events[0].event is not the number of an earlier event',
    ],
  ])('that is no record is refused with one line (%#)', (text, line) => {
    expect(faultOf(text)).toBe(line);
  });

  test('folds whatever passes the check, however it was mangled', () => {
    const values = [null, -1, 1e99, '', 'left', [], {}, true];
    fc.assert(
      fc.property(
        anyReport,
        fc.nat(),
        fc.nat(),
        fc.constantFrom(...values),
        (report, which, place, value) => {
          const events = structuredClone(report.record.events) as unknown as Record<
            string,
            unknown
          >[];
          const event = events[which % events.length] ?? {};
          const fields = Object.keys(event);
          event[fields[place % fields.length] ?? 'type'] = value;
          const checked = checkEvents(events);
          if (checked.ok) fold(checked.value);
          else expect(checked.fault.message).not.toContain('\n');
        },
      ),
      { numRuns: 500 },
    );
  }, 60_000);
});

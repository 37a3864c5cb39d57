import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { emptyRecord } from '../../src/exam/index.ts';
import { writeNote } from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';

const note = writeNote(rootExam);

describe('the note', () => {
  test('puts every finding of a reflex on its own side', () => {
    expect(note).toMatch(/Reflex +Left +Right +Midline/);
    expect(note).toMatch(/Medial hamstring +1\+ \(trace\) +2\+ +≠/);
    expect(note).toMatch(/Jaw {10,}2\+/);
  });

  test('shows the corrected value and names the one it replaced', () => {
    expect(note).toMatch(/Patellar +2\+ \(\?\) +2\+/);
    expect(note).toMatch(/REPLACED VALUES\n {2}Left patellar reflex: 3\+, replaced by left 2\+/);
    expect(note).toMatch(/WITHDRAWN\n {2}Left ankle clonus: unsustained, 4 beats/);
    expect(note).not.toMatch(/CLONUS\n {2}Site/);
  });

  test('marks what is not confirmed, in its place and in a list', () => {
    expect(note).toContain('Open:      1 item not confirmed, marked (?)');
    expect(note).toMatch(/NOT CONFIRMED BY THE EXAMINER\n {2}Left patellar reflex: 2\+/);
  });

  test('never lets "not tested" or "not examined" look normal', () => {
    expect(note).toMatch(/Achilles +NT +–/);
    expect(note).toMatch(/NOT EXAMINED\n {2}Right Achilles reflex\n {2}Saddle area, pinprick/);
  });

  test('says first what cannot wait', () => {
    expect(note.indexOf('Ask about the bladder at once')).toBeLessThan(note.indexOf('CONTEXT'));
  });

  test('follows the order of the trade', () => {
    const titles = note.split('\n').filter((line) => /^[A-Z][A-Z ]+$/.test(line));
    expect(titles).toEqual([
      'NEUROLOGICAL EXAMINATION',
      'CANNOT WAIT',
      'CONTEXT',
      'TENDON REFLEXES',
      'PLANTAR RESPONSES',
      'SUPERFICIAL REFLEXES',
      'SIGNS',
      'STRENGTH',
      'TONE',
      'MUSCLE BULK',
      'FASCICULATION',
      'SENSATION',
      'COORDINATION',
      'GAIT',
      'LOCALIZATION',
      'WHAT WOULD TELL MORE',
      'NOT EXAMINED',
      'NOT CONFIRMED BY THE EXAMINER',
      'REPLACED VALUES',
      'WITHDRAWN',
    ]);
  });

  test('gives site, side, probability and reasons, and defers to the clinician', () => {
    expect(note).toMatch(/1\. L5 root, left: 82 %\n +For: weak great toe extension/);
    expect(note.replaceAll(/\s+/g, ' ')).toContain('defers to the clinician and to local guidance');
  });

  test('gives the five strongest reasons for a site, and says how many more there are', () => {
    const [hypothesis] = rootExam.localization?.hypotheses ?? [];
    if (rootExam.localization === undefined || hypothesis === undefined) throw new Error('no site');
    const [reason] = hypothesis.explains;
    if (reason === undefined) throw new Error('no reason');
    const explains = [1, -7, 3, 5, 2, 6, 4].map((weight) => ({
      ...reason,
      weight,
      text: `reason of ${Math.abs(weight)}`,
    }));
    const localization = {
      ...rootExam.localization,
      hypotheses: [{ ...hypothesis, explains }],
    };
    expect(writeNote({ ...rootExam, localization }).replaceAll(/\s+/g, ' ')).toContain(
      'For: reason of 7; reason of 6; reason of 5; reason of 4; reason of 3; 2 more',
    );
  });

  test('names the plan that was followed', () => {
    expect(note).toContain('Plan:      Spine and roots, leg\n');
  });

  test('says which scales were used', () => {
    expect(note).toContain('Scale 0 absent, 1+ diminished, 2+ normal');
    expect(note).toContain('MRC scale 0 to 5');
  });

  test('of an exam that was broken off says so', () => {
    const text = writeNote({ exam: 'x', record: emptyRecord, notExamined: [] });
    expect(text).toContain('EXAMINATION NOT COMPLETE');
    expect(text).toContain('Nothing was recorded.');
  });

  test('lets nobody forge a line of it through a label', () => {
    const text = writeNote({
      ...rootExam,
      patientLabel: 'X\nTENDON REFLEXES\n\u202eforged\u2028line',
    });
    expect(text).toContain('Patient:   X TENDON REFLEXES forged line\n');
  });

  test('can be written of any exam', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const text = writeNote(report);
        // Every value that stands is in the note.
        for (const { finding, standing } of report.record.entries) {
          const counts = standing.is === 'open' || standing.is === 'confirmed';
          const shown = finding.value === 'not-tested' ? 'NT' : String(finding.value);
          if (counts) expect(text).toContain(shown);
        }
      }),
      { numRuns: 100 },
    );
  }, 60_000);
});

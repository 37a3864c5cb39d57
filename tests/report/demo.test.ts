import { describe, expect, test } from 'vitest';
import { expectedRecord, scripts } from '../../demo-audio-scripts/index.ts';
import { type EntryId, fold, ms } from '../../src/exam/index.ts';
import { localize } from '../../src/localize/index.ts';
import {
  fromFhir,
  fromJson,
  type Report,
  toFhir,
  toJson,
  writeNote,
} from '../../src/report/index.ts';
import { faultsOfDocument } from './invariants.ts';
import { r4, recordSchema } from './schema.ts';

const exams = scripts().map((script): readonly [string, Report] => {
  const findings = expectedRecord(script);
  const record = fold([
    { type: 'started', at: ms(0), plan: 'full' },
    ...findings.map((finding, i) => ({
      type: 'recorded' as const,
      at: ms(i * 4000),
      entry: (i + 1) as EntryId,
      finding,
      hearing: { words: 'as the script has it' },
    })),
    {
      type: 'confirmed',
      at: ms(findings.length * 4000),
      entries: findings.map((_, i) => (i + 1) as EntryId),
      by: 'explicit',
    },
    { type: 'completed', at: ms(findings.length * 4000) },
  ]);
  const report: Report = {
    exam: script.name,
    record,
    localization: localize(findings),
    notExamined: [],
    startedAt: '2026-11-25T10:00:00Z',
  };
  return [script.name, report];
});

describe.each(exams)('the demo exam %s', (_, report) => {
  test('leaves as a Bundle that meets R4, and as a record that meets its schema', () => {
    const bundle = JSON.parse(JSON.stringify(toFhir(report)));
    expect(r4.validate(bundle, true)).toEqual([]);
    expect(faultsOfDocument(bundle)).toEqual([]);
    expect(recordSchema.validator(JSON.parse(toJson(report)))).toBe(true);
  });

  test('comes back from both with every side and grade', () => {
    for (const read of [fromJson(toJson(report)), fromFhir(JSON.stringify(toFhir(report)))]) {
      expect(read.ok && read.value.record).toEqual(report.record);
    }
  });

  test('names in its note the side of every site it puts forward', () => {
    const sites = writeNote(report).match(/^ {2}\d\. .*$/gm) ?? [];
    for (const [i, line] of sites.entries()) {
      const { side } = report.localization?.hypotheses[i] ?? { side: 'none' };
      if (side === 'left' || side === 'right') expect(line).toContain(side);
    }
    expect(sites.length).toBeGreaterThan(0);
  });
});

import fc from 'fast-check';
import type { Observation } from 'fhir/r4';
import { describe, expect, test } from 'vitest';
import { stands } from '../../src/exam/index.ts';
import { fromFhir, type Report, toFhir } from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';
import { faultsOfDocument } from './invariants.ts';
import { r4 } from './schema.ts';

const observations = (report: Report): readonly Observation[] =>
  toFhir(report).entry.flatMap(({ resource }) =>
    resource.resourceType === 'Observation' ? [resource] : [],
  );

describe('the FHIR R4 Bundle', () => {
  test('of the root exam meets the published schema and the invariants', () => {
    const bundle = JSON.parse(JSON.stringify(toFhir(rootExam)));
    expect(r4.validate(bundle, true)).toEqual([]);
    expect(faultsOfDocument(bundle)).toEqual([]);
  });

  test('would not meet them with a status or a reference that is not there', () => {
    const text = JSON.stringify(toFhir(rootExam));
    const broken = JSON.parse(text.replace('"status":"final"', '"status":"done"'));
    expect(r4.validate(broken, true)).not.toEqual([]);
    const lost = JSON.parse(text.replaceAll(/"reference":"urn:uuid:./g, '"reference":"urn:uuid:-'));
    expect(faultsOfDocument(lost)).not.toEqual([]);
  });

  test('of 500 generated exams meets them too', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const bundle = JSON.parse(JSON.stringify(toFhir(report)));
        expect(r4.validate(bundle, true)).toEqual([]);
        expect(faultsOfDocument(bundle)).toEqual([]);
      }),
      { numRuns: 500 },
    );
  }, 120_000);

  test('has one Observation for each finding that stands, in order', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const sides = observations(report).map(
          (o) => o.component?.find((c) => c.code.text === 'Laterality')?.valueCodeableConcept?.text,
        );
        expect(sides).toEqual(report.record.entries.filter(stands).map((e) => e.finding.side));
      }),
      { numRuns: 50 },
    );
  }, 60_000);

  // SNOMED CT: 7771000 |Left|, 24028007 |Right|, values of 272741003 |Laterality|.
  test('codes left and right as SNOMED CT does', () => {
    for (const o of observations(rootExam)) {
      const side = o.component?.[0]?.valueCodeableConcept;
      const code = side?.coding?.find((c) => c.system === 'http://snomed.info/sct')?.code;
      if (side?.text === 'left') expect(code).toBe('7771000');
      if (side?.text === 'right') expect(code).toBe('24028007');
    }
  });

  test('is the same document for the same exam, and another once the exam says more', () => {
    expect(toFhir(rootExam)).toEqual(toFhir(rootExam));
    const more = { ...rootExam, notExamined: [] };
    expect(toFhir(more).identifier?.value).not.toBe(toFhir(rootExam).identifier?.value);
  });

  test('never gives a value to what was not tested', () => {
    const achilles = observations(rootExam).find((o) => o.code.text === 'Achilles reflex');
    expect(achilles?.valueCodeableConcept).toBeUndefined();
    expect(achilles?.dataAbsentReason?.coding?.[0]?.code).toBe('not-performed');
  });

  test('leaves an unconfirmed finding preliminary, and the document with it', () => {
    const patellar = observations(rootExam).filter((o) => o.code.text === 'Patellar reflex');
    expect(patellar.map((o) => o.status)).toEqual(['final', 'preliminary']);
    const composition = toFhir(rootExam).entry[0]?.resource;
    expect(composition).toMatchObject({ resourceType: 'Composition', status: 'preliminary' });
  });

  test('of any exam comes back exactly', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const { notExamined: _, ...kept } = report;
        expect(fromFhir(JSON.stringify(toFhir(report)))).toEqual({ ok: true, value: kept });
      }),
      { numRuns: 200 },
    );
  }, 60_000);

  test.each<[string, (o: Observation) => void]>([
    [
      'side',
      (o) => {
        const side = o.component?.[0]?.valueCodeableConcept?.coding;
        if (side !== undefined) side.reverse();
        if (side?.[1]?.code !== undefined) side[1].code = 'right';
      },
    ],
    [
      'value',
      (o) => {
        const value = o.valueCodeableConcept?.coding?.[0];
        if (value !== undefined) value.code = '4+';
      },
    ],
    [
      'standing',
      (o) => {
        o.status = 'final';
      },
    ],
  ])('whose %s was changed on the way is refused', (_, change) => {
    const bundle = toFhir(rootExam);
    const open = bundle.entry.findLast(
      ({ resource }) => resource.resourceType === 'Observation',
    )?.resource;
    change(open as Observation);
    const read = fromFhir(JSON.stringify(bundle));
    expect(read.ok).toBe(false);
  });

  test('that lost an Observation is refused', () => {
    const bundle = toFhir(rootExam);
    const place = bundle.entry.findIndex(({ resource }) => resource.resourceType === 'Observation');
    bundle.entry.splice(place, 1);
    expect(fromFhir(JSON.stringify(bundle)).ok).toBe(false);
  });
});

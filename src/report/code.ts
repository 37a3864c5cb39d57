import type { CodeableConcept, Coding } from 'fhir/r4';
import type { Side } from '../exam/index.ts';

/**
 * Codes used in the FHIR export. A public code stands only where it is certain; everything else is
 * coded in the program's own vocabulary (the ids of findings, sites and values) beside its text.
 */

/** Own vocabulary. The names under `.example` are reserved (RFC 2606) and lead nowhere. */
const own = 'https://plessor.example/fhir';
export const ownSystems = {
  item: `${own}/item`,
  site: `${own}/site`,
  side: `${own}/side`,
  value: `${own}/value`,
  modality: `${own}/modality`,
  part: `${own}/part`,
  qualifier: `${own}/qualifier`,
} as const;
export type OwnSystem = keyof typeof ownSystems;

export const ownCoding = (system: OwnSystem, code: string): Coding => ({
  system: ownSystems[system],
  code,
});

const snomed = 'http://snomed.info/sct';

/** SNOMED CT: 272741003 Laterality (attribute), 7771000 Left, 24028007 Right (qualifier values). */
export const lateralityCode: Coding = { system: snomed, code: '272741003', display: 'Laterality' };
const sideCodes: Readonly<Record<Side, Coding | undefined>> = {
  left: { system: snomed, code: '7771000', display: 'Left' },
  right: { system: snomed, code: '24028007', display: 'Right' },
  midline: undefined,
};

export function sideCoding(side: Side): Coding[] {
  const code = sideCodes[side];
  return [ownCoding('side', side), ...(code === undefined ? [] : [code])];
}

/** HL7 terminology, FHIR R4: observation-category, data-absent-reason, provenance-participant-type. */
export const examCategory: CodeableConcept = {
  coding: [{ system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'exam' }],
};
export const notPerformed = (text: string): CodeableConcept => ({
  coding: [
    { system: 'http://terminology.hl7.org/CodeSystem/data-absent-reason', code: 'not-performed' },
  ],
  text,
});

/** HL7 v3 ObservationInterpretation: N normal, A abnormal. */
export const interpretation = (code: 'N' | 'A', text: string): CodeableConcept => ({
  coding: [{ system: 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation', code }],
  text,
});
export const participant = (code: 'author' | 'assembler'): CodeableConcept => ({
  coding: [{ system: 'http://terminology.hl7.org/CodeSystem/provenance-participant-type', code }],
});

/** LOINC 29545-1, "Physical findings note". */
export const noteType = (text: string): CodeableConcept => ({
  coding: [{ system: 'http://loinc.org', code: '29545-1', display: 'Physical findings note' }],
  text,
});

/** UCUM code for years. */
export const years = { unit: 'years', system: 'http://unitsofmeasure.org', code: 'a' } as const;

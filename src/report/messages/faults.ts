import { chosenLanguage, type LanguageId } from '../../exam/index.ts';

/**
 * What is wrong with a record, a Bundle or a review pack that was brought, in English; the place
 * stands before it, and the names of fields are the form's own.
 */
const english = {
  notText: 'is not text',
  event: {
    noList: 'is not a list of events',
    noStart: 'is not the start of an exam',
    twice: 'is the same as the event before it',
    none: 'is not an event',
    noType: (types: string) => `is none of ${types}`,
    noField: (type: string) => `is not a field of "${type}"`,
    noTime: 'is not a time in ms',
    noPlan: 'is not a name of a plan',
    noEarlierEntry: 'is not an earlier entry',
    noNumber: 'is not a whole number from 1 up',
    givenBefore: (entry: number) => `${entry} was given before`,
    noWay: 'is not explicit or implicit',
    noEarlierEvent: 'is not the number of an earlier event',
    noEntries: 'is not a list of entries',
    noHearing: 'is missing; it holds the words heard',
    noFieldHere: 'is not a field',
    noProbability: 'is not a probability, 0 to 1',
  },
  record: {
    tooLong: 'is too long to be the record of an exam',
    noJson: 'is not JSON; choose a record that Plessor wrote',
    none: 'is not a record; choose one that Plessor wrote',
    noFormat: (format: string) => `is not "${format}"; choose a record that Plessor wrote`,
    newer: 'is newer than this program knows; update the program',
    noVersion: 'is not a version of a record',
    noField: 'is not a field of a record',
    missing: 'is missing',
    changedFindings: 'are not what the events amount to; the file was changed',
    changedEnd: 'is not what the events amount to; the file was changed',
  },
  bundle: {
    tooLong: 'is too long to be one exam',
    noJson: 'is not JSON; choose a FHIR Bundle that Plessor wrote',
    none: 'is not a FHIR Bundle with entries; choose one that Plessor wrote',
    noRecord: 'holds no record of Plessor; it may be read, but not imported',
    damaged: 'holds a damaged record; ask for the file again',
    changed: 'differs from the record in the Bundle; it was changed after it was written',
    lacks: (findings: number) => `lacks ${findings} of the findings of its record`,
    twoSides: 'says two different things about the side',
  },
  review: {
    noPart: 'is no part of a review',
    noKind: (kinds: string) => `is none of ${kinds}`,
    noField: (kind: string) => `is not a field of a ${kind}`,
    notOneExam: 'does not hold exactly one exam',
    noEntries: 'are not entries of the exam',
    noEntry: 'is not an entry of the exam',
    noVerdict: 'is none of agree, amend, query',
    notOfAmend: 'belongs to amend only',
  },
};

export type FormFaultMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, FormFaultMessages>> = { en: english };
export const formFaultMessages: FormFaultMessages = byLanguage[chosenLanguage];

import { chosenLanguage, type LanguageId } from './language.ts';

/**
 * What is wrong with something offered as a finding, in English; the place stands before it. Kinds,
 * sites and values are the record's own terms, as they stand in a file.
 */
const english = {
  noFinding: 'is not a finding; it needs kind, site, side and value',
  noField: 'is not a field of a finding',
  noKind: (found: string, kinds: string) => `is ${found}; use one of ${kinds}`,
  noSite: (found: string, kind: string, sites: string) =>
    `is ${found}; a ${kind} needs one of ${sites}`,
  noSide: (found: string) => `is ${found}; use left, right or midline`,
  paired: (kind: string, site: string) =>
    `is midline, but ${kind} at ${site} has a left and a right`,
  noAge: (found: string, oldest: number) => `is ${found}; age is a number of years, 0 to ${oldest}`,
  noValue: (found: string, kind: string, site: string, values: string) =>
    `is ${found}; ${kind} at ${site} takes ${values} or not-tested`,
  notOfReflex: 'belong to reflexes only',
  notAList: 'is not a list',
  noQualifier: (found: string, qualifiers: string) => `is ${found}; use one of ${qualifiers}`,
  noModality: (found: string, modalities: string) => `is ${found}; use one of ${modalities}`,
  notOfSensation: 'belongs to sensation only',
  notOfClonus: 'belong to clonus only',
  noBeats: (found: string) => `is ${found}; beats are a whole number`,
  noFindings: 'is not a list of findings',
  /** In place of what was found. */
  missing: 'missing',
  unreadable: 'unreadable',
};

export type FaultMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, FaultMessages>> = { en: english };
export const faultMessages: FaultMessages = byLanguage[chosenLanguage];

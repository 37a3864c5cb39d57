import { type LanguageId, standingFindings } from '../exam/index.ts';
import { pathwayOf, placeMessages } from '../localize/index.ts';
import { drawBody } from '../report/body.ts';
import {
  type Drawings,
  type ExamBundle,
  type Paper,
  papersOf,
  type Report,
  reportMessages,
  toFhir,
  writeNote,
  writePrint,
} from '../report/index.ts';
import { drawPathway } from '../report/pathway.ts';

/** What an exam leaves behind, with its drawings. The page fetches this when the first is wanted. */
export const papersWithDrawings = (report: Report, language: LanguageId): readonly Paper[] =>
  papersOf(report, drawingsOf(report, language), reportMessages[language]);

export const noteOf = (report: Report, language: LanguageId): string =>
  writeNote(report, reportMessages[language]);

export const bundleOf = (report: Report, language: LanguageId): ExamBundle =>
  toFhir(report, reportMessages[language]);

/** The sheet for the ward's file, as one document. */
export const printOf = (report: Report, language: LanguageId): string =>
  writePrint(report, drawingsOf(report, language), reportMessages[language]);

function drawingsOf({ record, localization }: Report, language: LanguageId): Drawings {
  const findings = standingFindings(record);
  const { drawings } = reportMessages[language];
  const body = drawBody(findings, 'body', drawings);
  if (localization === undefined) return { body };
  const pathway = pathwayOf(localization, findings, placeMessages[language]);
  return { body, pathway: drawPathway(pathway, 'pathway', drawings) };
}

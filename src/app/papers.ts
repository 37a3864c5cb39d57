import { standingFindings } from '../exam/index.ts';
import { pathwayOf } from '../localize/index.ts';
import { drawBody } from '../report/body.ts';
import { type Drawings, type Paper, papersOf, type Report, writePrint } from '../report/index.ts';
import { drawPathway } from '../report/pathway.ts';

/** What an exam leaves behind, with its drawings. The page fetches this when the first is wanted. */

export { toFhir, writeNote } from '../report/index.ts';

export const papersWithDrawings = (report: Report): readonly Paper[] =>
  papersOf(report, drawingsOf(report));

/** The sheet for the ward's file, as one document. */
export const printOf = (report: Report): string => writePrint(report, drawingsOf(report));

function drawingsOf({ record, localization }: Report): Drawings {
  const findings = standingFindings(record);
  const body = drawBody(findings);
  if (localization === undefined) return { body };
  return { body, pathway: drawPathway(pathwayOf(localization, findings)) };
}

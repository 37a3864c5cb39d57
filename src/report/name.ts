import type { Finding, SkinRegion } from '../exam/index.ts';
import type { Hypothesis } from '../localize/result.ts';
import { reportNamesEnglish } from './english/names.ts';
import type { ReportNames } from './messages/names.ts';
import { plain } from './plain.ts';

function skinName(site: string, names: ReportNames): string {
  if (Object.hasOwn(names.skin, site)) return names.skin[site as SkinRegion];
  const level = 'level-';
  return site.startsWith(level) ? names.below(site.slice(level.length)) : names.dermatome(site);
}

/** Where a finding was made, without its kind and side: "patellar", "L5 dermatome", "hip flexion". */
export function siteName(finding: Finding, names: ReportNames = reportNamesEnglish): string {
  switch (finding.kind) {
    case 'reflex':
      return names.reflexes[finding.site];
    case 'clonus':
      return names.clonus[finding.site];
    case 'plantar':
      return names.foot;
    case 'sign':
      return names.signs[finding.site];
    case 'superficial':
      return names.superficial[finding.site];
    case 'strength':
    case 'bulk':
    case 'fasciculation':
      return names.movements[finding.site];
    case 'tone':
    case 'coordination':
      return names.bodyParts[finding.site];
    case 'sensation':
      return skinName(finding.site, names);
    case 'gait':
      return names.gait;
    case 'context':
      return names.contexts[finding.site];
    default:
      return finding satisfies never;
  }
}

/** What was examined, without the side: "patellar reflex", "pinprick, L5 dermatome". */
export function itemTitle(finding: Finding, names: ReportNames = reportNamesEnglish): string {
  const site = siteName(finding, names);
  const { title } = names;
  switch (finding.kind) {
    case 'plantar':
      return title.plantar;
    case 'sign':
    case 'gait':
    case 'context':
      return site;
    case 'bulk':
    case 'fasciculation':
      return title[finding.kind](names.muscles[finding.site], site);
    case 'sensation':
      return title.sensation(names.modalities[finding.modality], site);
    default:
      return title[finding.kind](site);
  }
}

/** What was found: "3+ (with reinforcement)", "unsustained, 4 beats", "54 years", "not tested". */
export function valueText(finding: Finding, names: ReportNames = reportNamesEnglish): string {
  const value = names.value(String(finding.value));
  if (finding.value === 'not-tested') return value;
  if (finding.kind === 'context' && finding.site === 'age') return names.years(finding.value);
  if (finding.kind === 'reflex' && finding.qualifiers !== undefined && finding.qualifiers.length) {
    return names.qualified(
      value,
      finding.qualifiers.map((q) => names.qualifiers[q]),
    );
  }
  if (finding.kind === 'clonus' && finding.beats !== undefined) {
    return names.beats(value, finding.beats);
  }
  return value;
}

/** With the side of a finding before it; the midline goes without saying. */
export const withSide = ({ side }: Finding, what: string, names: ReportNames): string =>
  side === 'midline' ? what : names.sided(names.sides[side], what);

/** One finding in full, side first: "left patellar reflex: 3+". */
export const findingLine = (finding: Finding, names: ReportNames = reportNamesEnglish): string =>
  names.line(withSide(finding, itemTitle(finding, names), names), valueText(finding, names));

/** The name of a site with its side, which no reader may have to guess. */
export function hypothesisName(
  { name, side, sites }: Hypothesis,
  names: ReportNames = reportNamesEnglish,
): string {
  const told = plain(name);
  return side === 'none' || sites !== undefined ? told : names.lesion(told, side);
}

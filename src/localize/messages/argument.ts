import type { Finding, LanguageId } from '../../exam/index.ts';
import { argumentEnglish } from '../english/argument.ts';
import type { Focus, Lesion } from '../lesion.ts';
import type { LesionSide } from '../result.ts';
import type { PlaceMessages } from './places.ts';

/**
 * What the reasoning says, in one language: names of sites, reasons, cautions, tests. A reason is
 * said after the finding it is of. Lesions come as they are, since a language may bend their names.
 */
export interface LocalizeMessages {
  readonly places: PlaceMessages;
  /** What a site is called, without its side: "L5 root". */
  readonly focus: (focus: Focus) => string;
  /** "L5 root, left". */
  readonly sided: (focus: string, side: Exclude<LesionSide, 'none'>) => string;
  /** One lesion or two together, at the head of a line. */
  readonly candidate: (lesions: readonly string[]) => string;
  /** A finding or several that share a reason, and the reason. */
  readonly reason: (findings: string, why: string, several: boolean) => string;
  readonly text: Readonly<Record<LocalizeText, string>>;
  readonly why: Readonly<Record<FixedReason, string>>;
  readonly whyOf: Readonly<Record<LesionReason, (lesion: Lesion) => string>>;
  /** Reasons of a lesion that takes a share, 0 to 1, of what serves an item. */
  readonly whyShare: Readonly<Record<ShareReason, (lesion: Lesion, share: number) => string>>;
  /** Reasons that name the segments that serve an item. */
  readonly whySegments: Readonly<
    Record<SegmentReason, (lesion: Lesion, segments: readonly string[]) => string>
  >;
  /** What a lesion would have been expected to do to what was found normal. */
  readonly missed: Readonly<Record<Missed, (lesion: Lesion) => string>>;
  readonly otherSide: (lesion: Lesion, finding: Finding) => string;
  /** Patterns that cannot wait. */
  readonly urgent: Readonly<Record<Urgent, string>>;
  /** Notes on the record itself; findings as `places.finding` words them. */
  readonly replaced: (earlier: string, later: string) => string;
  readonly fitsAcross: (finding: string, side: Finding['side']) => string;
  readonly fitsNot: (finding: string) => string;
  readonly fitsSwapped: (left: string, right: string) => string;
  /** Values that would speak for one site, by the record's own terms: "sudden, days or weeks". */
  readonly outcome: (kind: string, values: readonly string[]) => string;
  /** One more thing to examine, and what its outcomes would speak for. */
  readonly test: (
    name: string,
    outcomes: readonly { readonly value: string; readonly towards: string }[],
  ) => string;
}

export type LocalizeText =
  /** Nothing that was examined could localize. */
  | 'nothing'
  /** No further test would be expected to part the sites: the first one is sure, or not. */
  | 'enough'
  | 'exhausted'
  | 'briskAlike'
  | 'lowAlike'
  | 'noSite';

export type FixedReason =
  | 'normal'
  | 'healthy'
  | 'moreThanHealthy'
  | 'lostAbove'
  | 'slack'
  | 'released'
  | 'tractCut'
  | 'toesOrArc'
  | 'arcAtLevel'
  | 'belowOrAtSegment'
  | 'upperNeuronsLost'
  | 'tractCutAbove'
  | 'hornAtLevel'
  | 'hornLost'
  | 'rootsInCauda'
  | 'longestWeaken'
  | 'arcAtLevelOrShock'
  | 'acuteLow'
  | 'arcHornLost'
  | 'longestArcs'
  | 'lostWithMyelin'
  | 'dorsalColumn'
  | 'painWhereCrossing'
  | 'painCrossed'
  | 'segmentsInConus'
  | 'longestFibres'
  | 'lumbosacralRoots';

export type LesionReason =
  | 'expected'
  | 'usual'
  | 'unusual'
  | 'common'
  | 'notUsual'
  | 'arcThrough'
  | 'suppliedThrough'
  | 'tractThrough'
  | 'changesAlike'
  | 'skinOf'
  | 'skinBeyond'
  | 'pathwayThrough'
  | 'spared'
  | 'cannotRelease'
  | 'notAccounted'
  | 'onArc'
  | 'shouldWeaken';

export type ShareReason = 'serves' | 'suppliedInPart' | 'carriesArc' | 'servesOnly';
export type SegmentReason = 'sparedServedBy' | 'notWeakened' | 'notAccountedArc';

export type Missed =
  | 'weakness'
  | 'wasting'
  | 'briskJaw'
  | 'briskReflex'
  | 'lowReflex'
  | 'risingToe'
  | 'muteResponse'
  | 'feeling'
  | 'loss'
  | 'tone'
  | 'clumsiness'
  | 'gait'
  | 'presence';

export type Urgent =
  | 'saddle'
  | 'sphincter'
  | 'breathingMayFail'
  | 'climbing'
  | 'breathingWeak'
  | 'magnesium'
  | 'stroke'
  | 'sensoryLevel'
  | 'cordLegs';

export const localizeMessages: Readonly<Record<LanguageId, LocalizeMessages>> = {
  en: argumentEnglish,
};

import {
  arcBundle,
  type Fibre,
  isLimbReflex,
  isPatch,
  movementBundle,
  segmentsOf,
  skinBundle,
} from '../anatomy/index.ts';
import { type Finding, type Lateral, laterals, type Segment, segments } from '../exam/index.ts';
import type { Focus } from './lesion.ts';
import { lesions, sidesHit } from './lesion.ts';
import { type PlaceMessages, placeMessages } from './messages/places.ts';
import { isNormal } from './normal.ts';
import type { Hypothesis, Localization, SidedSite } from './result.ts';

/** The stations of the pathway above the cord, from above downwards. */
export const stations = [
  'hemisphere',
  'internal-capsule',
  'midbrain',
  'pons',
  'medulla',
  'cerebellum',
] as const;
export type Station = (typeof stations)[number];

/** Where on the drawing a candidate site lies. */
export type Mark =
  | { readonly at: 'station'; readonly station: Station; readonly side: Lateral }
  | { readonly at: 'segment'; readonly segment: Segment; readonly half: Lateral | 'both' }
  | { readonly at: 'root'; readonly segment: Segment; readonly side: Lateral }
  /** On the way of the findings that run through this nerve or plexus, by their ids in `runs`. */
  | {
      readonly at: 'nerve';
      readonly side: Lateral;
      readonly name: string;
      readonly runs: readonly string[];
      readonly segment: Segment;
    }
  /** A disease with no one place: nerve lengths, junctions, muscles, blood. */
  | { readonly at: 'everywhere' };

export interface PathwayCandidate {
  readonly letter: string;
  readonly name: string;
  readonly probability: number;
  readonly marks: readonly Mark[];
}

/** What was found at the end of a way, and the way it runs. */
export interface PathwayRun {
  readonly id: string;
  readonly side: Lateral;
  /** "ankle jerk". */
  readonly label: string;
  /** As it was graded. */
  readonly value: string;
  readonly change: 'less' | 'more' | 'normal';
  /** Its segments with shares, the largest first. */
  readonly segments: readonly (readonly [segment: Segment, share: number])[];
  /** The fibres it runs in, with the places they pass. */
  readonly fibres: readonly Fibre[];
}

/** Everything the drawing of the pathway needs. */
export interface Pathway {
  readonly candidates: readonly PathwayCandidate[];
  readonly runs: readonly PathwayRun[];
}

const letters = ['A', 'B', 'C', 'D'] as const;
/** A site less probable than this is not drawn, but for the first. */
const worthDrawing = 0.02;
/** More than this many ways on a side cannot be read. */
const runsPerSide = 18;

/** The pathway with the leading sites on it and what was found at the ends of its ways. */
export function pathwayOf(
  localization: Localization,
  findings: readonly Finding[],
  messages: PlaceMessages = placeMessages.en,
): Pathway {
  const all = findings.flatMap((finding) => runOf(finding, messages));
  const runs = laterals.flatMap((side) =>
    chosen(
      all.filter((run) => run.side === side),
      all,
    ),
  );
  const kept = new Map(runs.map((run) => [run.id, run]));
  const leading = localization.hypotheses.filter(
    ({ probability }, i) => i === 0 || probability >= worthDrawing,
  );
  const candidates = leading.slice(0, letters.length).map((hypothesis, i) => ({
    letter: letters[i] ?? '',
    name: hypothesis.name,
    probability: hypothesis.probability,
    marks: marksOf(hypothesis, kept, messages),
  }));
  return { candidates, runs };
}

const placeOf = (run: PathwayRun): number => segments.indexOf(run.segments[0]?.[0] ?? 'C1');

/** Abnormal ones first, then the normal ones whose segments lie nearest to them; down the body. */
function chosen(runs: readonly PathwayRun[], all: readonly PathwayRun[]): readonly PathwayRun[] {
  const last = new Map(runs.map((run) => [run.id, run]));
  const struck = all.filter(({ change }) => change !== 'normal').map(placeOf);
  const away = (run: PathwayRun): number =>
    run.change === 'normal'
      ? 1 + Math.min(30, ...struck.map((at) => Math.abs(at - placeOf(run))))
      : 0;
  return [...last.values()]
    .sort((a, b) => away(a) - away(b) || placeOf(a) - placeOf(b))
    .slice(0, runsPerSide)
    .sort((a, b) => placeOf(a) - placeOf(b) || (a.id < b.id ? -1 : 1));
}

function runOf(finding: Finding, messages: PlaceMessages): readonly PathwayRun[] {
  if (finding.side === 'midline' || finding.value === 'not-tested') return [];
  const bundle = bundleOf(finding);
  if (bundle === undefined || bundle.length === 0) return [];
  const modality = finding.kind === 'sensation' ? finding.modality : undefined;
  const id = `${finding.kind}/${finding.site}/${finding.side}/${modality ?? ''}`;
  const more = finding.kind === 'reflex' && (finding.value === '3+' || finding.value === '4+');
  const up =
    more ||
    (finding.kind === 'plantar' && finding.value === 'extensor') ||
    finding.value === 'increased';
  return [
    {
      id,
      side: finding.side,
      label: messages.place(finding.kind, finding.site, modality),
      value: String(finding.value),
      change: isNormal(finding) ? 'normal' : up ? 'more' : 'less',
      segments: segmentsOf(bundle),
      fibres: bundle,
    },
  ];
}

function bundleOf(finding: Finding): readonly Fibre[] | undefined {
  switch (finding.kind) {
    case 'strength':
      return movementBundle(finding.site);
    case 'reflex':
      return isLimbReflex(finding.site) ? arcBundle(finding.site) : undefined;
    case 'plantar':
      return arcBundle('plantar');
    case 'superficial':
      return arcBundle(finding.site);
    case 'sensation':
      return isPatch(finding.site) ? skinBundle(finding.site) : undefined;
    default:
      return undefined;
  }
}

const focusOf = ({ site, side }: SidedSite): Focus | undefined =>
  lesions.find((lesion) => lesion.site === site && lesion.side === side)?.focus;

function marksOf(
  hypothesis: Hypothesis,
  runs: ReadonlyMap<string, PathwayRun>,
  messages: PlaceMessages,
): readonly Mark[] {
  return (hypothesis.sites ?? [hypothesis]).flatMap((sited): readonly Mark[] => {
    const focus = focusOf(sited);
    if (focus === undefined || focus.group === 'no-lesion') return [];
    const sides = sidesHit(sited.side);
    switch (focus.group) {
      case 'hemisphere':
      case 'internal-capsule':
      case 'cerebellum':
        return sides.map((side) => ({ at: 'station', station: focus.group, side }));
      case 'brainstem':
        return sides.map((side) => ({ at: 'station', station: focus.place, side }));
      case 'cord':
        return [{ at: 'segment', segment: focus.level, half: half(sited) }];
      case 'conus':
        return [{ at: 'segment', segment: 'S3', half: 'both' }];
      case 'cauda-equina':
        return sides.map((side) => ({ at: 'root', segment: 'S1', side }));
      case 'anterior-horn':
        return [
          { at: 'segment', segment: 'C8', half: half(sited) },
          { at: 'segment', segment: 'L4', half: half(sited) },
        ];
      case 'root':
        return sides.map((side) => ({ at: 'root', segment: focus.level, side }));
      case 'plexus':
      case 'nerve': {
        const place = `${focus.group}:${focus.place}`;
        const name = messages.cut(focus);
        return sides.map((side) => ({ at: 'nerve', side, name, ...onWay(place, side, runs) }));
      }
      default:
        return [{ at: 'everywhere' }];
    }
  });
}

const half = ({ side }: SidedSite): Lateral | 'both' =>
  side === 'left' || side === 'right' ? side : 'both';

/** The drawn ways that run through a place on one side, and the segment to mark it by where none does. */
function onWay(
  place: string,
  side: Lateral,
  runs: ReadonlyMap<string, PathwayRun>,
): { readonly runs: readonly string[]; readonly segment: Segment } {
  const through: string[] = [];
  let segment: Segment | undefined;
  for (const run of runs.values()) {
    const on = run.fibres.filter(({ path }) => (path as readonly string[]).includes(place));
    const share = on.reduce((sum, fibre) => sum + fibre.share, 0);
    if (share < 0.4 || run.side !== side) continue;
    through.push(run.id);
    segment ??= run.segments[0]?.[0];
  }
  return { runs: through, segment: segment ?? (place.includes('brachial') ? 'C6' : 'L4') };
}

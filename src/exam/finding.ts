import type {
  bulkValues,
  clonusValues,
  contextValues,
  coordinationValues,
  gaitValues,
  Modality,
  MrcGrade,
  onsetValues,
  plantarValues,
  ReflexGrade,
  sensationValues,
  signValues,
  superficialValues,
  toneValues,
} from './scale.ts';
import type { Side } from './side.ts';
import type {
  BodyPart,
  ClonusSite,
  ContextSite,
  Movement,
  ReflexQualifier,
  ReflexSite,
  SignSite,
  SkinSite,
  SuperficialSite,
} from './site.ts';

/** A value in its own right: the examiner said it was not tested. It never means normal. */
export type NotTested = 'not-tested';

interface Observed<K extends string, S extends string, V> {
  readonly kind: K;
  readonly site: S;
  readonly side: Side;
  readonly value: V | NotTested;
}

export interface ReflexFinding extends Observed<'reflex', ReflexSite, ReflexGrade> {
  readonly qualifiers?: readonly ReflexQualifier[];
}
export interface ClonusFinding
  extends Observed<'clonus', ClonusSite, (typeof clonusValues)[number]> {
  /** Beats, a whole number, where they were counted. */
  readonly beats?: number;
}
export interface PlantarFinding
  extends Observed<'plantar', 'foot', (typeof plantarValues)[number]> {}
export interface SignFinding extends Observed<'sign', SignSite, (typeof signValues)[number]> {}
export interface SuperficialFinding
  extends Observed<'superficial', SuperficialSite, (typeof superficialValues)[number]> {}
export interface StrengthFinding extends Observed<'strength', Movement, MrcGrade> {}
export interface ToneFinding extends Observed<'tone', BodyPart, (typeof toneValues)[number]> {}
export interface BulkFinding extends Observed<'bulk', Movement, (typeof bulkValues)[number]> {}
export interface FasciculationFinding
  extends Observed<'fasciculation', Movement, (typeof signValues)[number]> {}
export interface SensationFinding
  extends Observed<'sensation', SkinSite, (typeof sensationValues)[number]> {
  readonly modality: Modality;
}
export interface CoordinationFinding
  extends Observed<'coordination', BodyPart, (typeof coordinationValues)[number]> {}
export interface GaitFinding extends Observed<'gait', 'gait', (typeof gaitValues)[number]> {}

export interface AgeFinding extends Observed<'context', 'age', number> {}
export interface OnsetFinding extends Observed<'context', 'onset', (typeof onsetValues)[number]> {}
export interface CircumstanceFinding
  extends Observed<
    'context',
    Exclude<ContextSite, 'age' | 'onset'>,
    (typeof contextValues)[number]
  > {}

/**
 * One observation at one site on one side, in the form that is stored, exported and reasoned about.
 * What was never examined has no finding at all; what was said to be untested has the value
 * `not-tested`. Neither is ever read as normal.
 */
export type Finding =
  | ReflexFinding
  | ClonusFinding
  | PlantarFinding
  | SignFinding
  | SuperficialFinding
  | StrengthFinding
  | ToneFinding
  | BulkFinding
  | FasciculationFinding
  | SensationFinding
  | CoordinationFinding
  | GaitFinding
  | AgeFinding
  | OnsetFinding
  | CircumstanceFinding;

export type Kind = Finding['kind'];
export type FindingOf<K extends Kind> = Extract<Finding, { kind: K }>;

/**
 * What a finding is about: same item, same key. Two findings with one key say something of the same
 * thing, so the later one supersedes the earlier or contradicts it.
 */
export type ItemKey = string & { readonly __brand: 'ItemKey' };

export function itemKey(finding: Finding): ItemKey {
  const modality = finding.kind === 'sensation' ? `/${finding.modality}` : '';
  return `${finding.kind}:${finding.site}:${finding.side}${modality}` as ItemKey;
}

import type { Finding } from '../exam/index.ts';
import type { Levels } from './levels.ts';

/** The side of the lesion (not of its signs). `both` for a disease or a pair of equal lesions of both sides. */
export type LesionSide = 'left' | 'right' | 'both' | 'none';

/** A lesion's site id, `group` or `group:place[:pattern]`, e.g. `root:L5`, `cord:T10:hemi`. */
export type LesionSite = string & { readonly __brand: 'LesionSite' };

export interface SidedSite {
  readonly site: LesionSite;
  readonly side: LesionSide;
}

/**
 * A finding's part in the argument for or against a site, in words an examiner uses. Findings that
 * share a reason are told in one text; `finding` is the weightiest of them and `weight` its own.
 */
export interface Reason {
  readonly finding: Finding;
  readonly text: string;
  /** How strongly it speaks, in natural-log units of likelihood against the other explanations. */
  readonly weight: number;
}

export interface Hypothesis extends SidedSite {
  /** Present when two lesions together are meant; the first repeats `site` and `side`. */
  readonly sites?: readonly SidedSite[];
  /** 0 to 1; what is listed plus `other` adds to 1. */
  readonly probability: number;
  readonly name: string;
  readonly explains: readonly Reason[];
  readonly against: readonly Reason[];
  /** Abnormal findings that this site does not account for. */
  readonly unexplained: readonly Reason[];
}

/** One more thing to examine, and what each answer would do. */
export interface NextTest {
  readonly kind: Finding['kind'];
  readonly site: string;
  readonly side: Finding['side'];
  readonly modality?: string;
  /** "Hip abduction, left". */
  readonly name: string;
  /** Expected information about which hypothesis holds, beyond the tests listed before it, in bits. */
  readonly bits: number;
  /** What it would show: e.g. { value: '4', towards: 'L5 root, left' }. */
  readonly outcomes: readonly { readonly value: string; readonly towards: string }[];
  readonly text: string;
}

/** Something that cannot wait, or a warning about the record itself. */
export interface Caution {
  readonly urgency: 'now' | 'soon' | 'note';
  readonly text: string;
  readonly because: readonly Finding[];
}

export interface Localization {
  /** From the most to the least probable. */
  readonly hypotheses: readonly Hypothesis[];
  /** Probability of everything not listed. */
  readonly other: number;
  readonly nextTests: readonly NextTest[];
  readonly cautions: readonly Caution[];
  /** Motor and sensory levels in the ISNCSCI sense, each where enough was examined. */
  readonly levels?: Levels;
  /** Said when no further test is proposed: enough is known, or the bedside can tell no more. */
  readonly enough?: string;
  /** Said when nothing that was examined could localize. */
  readonly nothing?: string;
}

import type { LanguageId, Lateral, Segment, Side } from '../../exam/index.ts';
import type { PathwayCandidate, PathwayRun, Station } from '../../localize/index.ts';
import { drawingsEnglish } from '../english/drawings.ts';

type Names<K extends string> = Readonly<Record<K, string>>;

/** Words on the drawings, and what they say to those who do not see them. */
export interface DrawingMessages {
  readonly patientsRight: string;
  readonly patientsLeft: string;
  readonly body: {
    readonly title: string;
    /** Where it stands in for a grade. */
    readonly notTested: string;
    readonly nothing: string;
    /** What was found, in words; sites and values by the record's own terms. */
    readonly found: (all: readonly DrawnFinding[]) => string;
  };
  readonly pathway: PathwayMessages;
  readonly plot: {
    readonly sides: Names<Side>;
    readonly hours: (hours: number) => string;
    readonly days: (days: number) => string;
    /** One grade of one side, and all of them. */
    readonly grade: (side: string, grade: string) => string;
    readonly grades: (side: string, grades: readonly string[]) => string;
  };
}

export interface DrawnFinding {
  readonly kind: 'reflex' | 'plantar' | 'superficial';
  readonly site: string;
  readonly side: Side;
  readonly value: string;
}

export interface PathwayMessages {
  readonly title: string;
  readonly stations: Names<Station>;
  readonly crossing: string;
  readonly key: string;
  /** A segment's share of a way. */
  readonly share: (way: string, segment: string, share: number) => string;
  /** A way with what was found at its end, by the record's own term. */
  readonly end: (way: string, value: string) => string;
  /** A line of the legend; `general` where the site is not at one place. */
  readonly candidate: (name: string, probability: number, general: boolean) => string;
  /** The whole drawing in words. */
  readonly described: (
    candidates: readonly Pick<PathwayCandidate, 'letter' | 'name' | 'probability'>[],
    abnormal: readonly {
      readonly label: string;
      readonly side: Lateral;
      readonly value: string;
      readonly change: PathwayRun['change'];
      readonly segments: readonly Segment[];
    }[],
  ) => string;
}

export const drawingMessages: Readonly<Record<LanguageId, DrawingMessages>> = {
  en: drawingsEnglish,
};

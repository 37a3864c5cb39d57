import { examEnglish } from './english.ts';
import type { Kind } from './finding.ts';
import type { LanguageId } from './language.ts';
import type { PlanId } from './plan.ts';
import type { Modality } from './scale.ts';
import type { Lateral } from './side.ts';
import type { ReflexQualifier } from './site.ts';

/** Names of what is examined and found, as an examiner says them, in one language. */
export interface ExamMessages {
  readonly sides: Readonly<Record<Lateral, string>>;
  readonly modalities: Readonly<Record<Modality, string>>;
  readonly qualifiers: Readonly<Record<ReflexQualifier, string>>;
  /** An item without its side, from the record's own terms: "patellar", "ankle clonus". */
  readonly item: (kind: Kind, site: string) => string;
  /** A value as it is written, from the record's own term: "3+", "extensor", "not tested". */
  readonly value: (value: string) => string;
  readonly beats: (value: string, beats: number) => string;
  /** A finding in one line: "right patellar 3+". */
  readonly finding: (parts: FindingParts) => string;
  /** An item that is left, with its side where only one is: "left patellar". */
  readonly gap: (parts: Pick<FindingParts, 'side' | 'item' | 'modality'>) => string;
  readonly plans: Readonly<Record<PlanId, string>>;
  readonly ownPlan: string;
  /** A line of text as a voice must say it: "3+" as "three plus", "T10" as "T ten". */
  readonly spoken: (text: string) => string;
}

/** What a finding's line is put together from, each already in the language. */
export interface FindingParts {
  /** Absent for the midline, which goes without saying. */
  readonly side: string | undefined;
  readonly item: string;
  /** What was felt for, of sensation. */
  readonly modality: string | undefined;
  readonly value: string;
  readonly qualifiers: readonly string[];
}

export const examMessages: Readonly<Record<LanguageId, ExamMessages>> = { en: examEnglish };

import type { ExamMessages, Kind, LanguageId, Side } from '../../exam/index.ts';
import type { Change } from '../compare.ts';
import { reportEnglish } from '../english/papers.ts';
import type { DrawingMessages } from './drawings.ts';
import type { ReportNames } from './names.ts';

type Names<K extends string> = Readonly<Record<K, string>>;

/** What the papers of an exam say, in one language. */
export interface ReportMessages {
  /** A language tag (BCP 47), for numbers and for the page that is printed. */
  readonly locale: string;
  /** What plans are called. */
  readonly exam: Pick<ExamMessages, 'plans' | 'ownPlan'>;
  readonly names: ReportNames;
  readonly text: Names<ReportText>;
  /** When an exam began, from ISO 8601 with a zone. */
  readonly instant: (iso: string) => string;
  /** A probability in whole percent; never 0 % or 100 % unless it is exactly that. */
  readonly percent: (probability: number) => string;
  readonly unconfirmed: (count: number) => string;
  /** Signs used in tables; the note and the print explain them. */
  readonly marks: Names<'open' | 'notTested' | 'none' | 'unequal'>;
  readonly columns: Names<Side>;
  readonly kinds: Names<Kind>;
  /** The scale that was used, or how to read the section. */
  readonly remarks: Readonly<Partial<Record<Kind, string>>>;
  readonly regions: Names<Region>;
  readonly rowsAre: Names<'muscle' | 'reflex' | 'response' | 'site' | 'sign' | 'part'>;
  /** A movement with its muscle, as a row of a table. */
  readonly movement: (movement: string, muscle: string) => string;
  /** What stands for one side, told twice or more. */
  readonly repeated: (values: readonly string[]) => string;
  /** An item with its side and value on a line of its own. */
  readonly item: (title: string, side: string | undefined, value: string) => string;
  readonly site: (place: number, name: string, chance: string) => string;
  readonly reasons: (why: Argued, shown: readonly string[], more: number) => string;
  readonly elsewhere: (chance: string) => string;
  readonly replaced: (finding: string, by: string) => string;
  readonly amended: (finding: string, to: string) => string;
  readonly changes: Names<Change>;
  readonly change: (item: string, from: string, to: string, change: string) => string;
  readonly examColumn: (place: number) => string;
  readonly drawings: DrawingMessages;
  readonly exchange: ExchangeMessages;
}

/** What a person reads of the FHIR export beside its codes. */
export interface ExchangeMessages {
  readonly findings: string;
  readonly record: string;
  readonly recordMore: string;
  readonly unconfirmed: (finding: string) => string;
  readonly notConfirmed: string;
  readonly laterality: string;
  readonly quality: string;
  readonly beats: string;
  readonly normal: string;
  readonly abnormal: string;
  /** How each kind is examined. */
  readonly methods: Readonly<Partial<Record<Kind, string>>>;
}

export type Region = 'neck' | 'upper-limb' | 'lower-limb';

/** What a reason is: for a site, against it, or left over by it. */
export type Argued = 'for' | 'against' | 'unexplained';

export type ReportText =
  | 'title'
  | 'patient'
  | 'noLabel'
  | 'examiner'
  | 'notNamed'
  | 'started'
  | 'noTime'
  | 'plan'
  | 'status'
  | 'complete'
  | 'notComplete'
  | 'open'
  | 'nothingRecorded'
  | 'cannotWait'
  | 'localization'
  | 'disclaimer'
  | 'tests'
  | 'cautions'
  | 'notExamined'
  | 'notConfirmed'
  | 'replacedValues'
  | 'withdrawn'
  | 'laterValue'
  | 'signature'
  | 'dateAndTime'
  | 'bodyCaption'
  | 'pathwayCaption'
  | 'last'
  | 'legendOpen'
  | 'printLegendOpen'
  | 'legendNotTested'
  | 'legendNone'
  | 'legendUnequal';

export const reportMessages: Readonly<Record<LanguageId, ReportMessages>> = { en: reportEnglish };

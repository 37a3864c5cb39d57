import type {
  BodyPart,
  ClonusSite,
  ContextSite,
  LanguageId,
  Modality,
  Movement,
  ReflexQualifier,
  ReflexSite,
  Side,
  SignSite,
  SkinDistribution,
  SkinRegion,
  SuperficialSite,
} from '../../exam/index.ts';
import type { LesionSide } from '../../localize/result.ts';
import { reportNamesEnglish } from '../english/names.ts';

type Names<K extends string> = Readonly<Record<K, string>>;

/** Names as an examiner writes them in a note, in one language. */
export interface ReportNames {
  readonly sides: Names<Side>;
  readonly modalities: Names<Modality>;
  readonly qualifiers: Names<ReflexQualifier>;
  readonly reflexes: Names<ReflexSite>;
  readonly clonus: Names<ClonusSite>;
  readonly signs: Names<SignSite>;
  readonly superficial: Names<SuperficialSite>;
  readonly movements: Names<Movement>;
  /** The muscle that mainly does a movement. */
  readonly muscles: Names<Movement>;
  readonly bodyParts: Names<BodyPart>;
  readonly skin: Names<SkinRegion | SkinDistribution>;
  readonly contexts: Names<ContextSite>;
  readonly foot: string;
  readonly gait: string;
  readonly dermatome: (segment: string) => string;
  /** Skin from a segment downwards. */
  readonly below: (segment: string) => string;
  /** What was examined, without the side, from the name of where. */
  readonly title: {
    readonly reflex: (site: string) => string;
    readonly superficial: (site: string) => string;
    readonly clonus: (site: string) => string;
    readonly plantar: string;
    readonly strength: (movement: string) => string;
    readonly tone: (part: string) => string;
    readonly coordination: (part: string) => string;
    readonly bulk: (muscle: string, movement: string) => string;
    readonly fasciculation: (muscle: string, movement: string) => string;
    readonly sensation: (modality: string, site: string) => string;
  };
  /** Where sensation was tried, and for what, as a row of the record. */
  readonly felt: (site: string, modality: string) => string;
  /** A value by the record's own term: "3+", "extensor", "not-tested". */
  readonly value: (value: string) => string;
  readonly years: (age: number) => string;
  readonly qualified: (value: string, qualifiers: readonly string[]) => string;
  readonly beats: (value: string, beats: number) => string;
  /** A title or a value with the side it is of, before it. */
  readonly sided: (side: string, what: string) => string;
  /** "left patellar reflex: 3+". */
  readonly line: (title: string, value: string) => string;
  /** The name of a site of lesion with its side, where the name does not say it. */
  readonly lesion: (name: string, side: Exclude<LesionSide, 'none'>) => string;
}

export const reportNames: Readonly<Record<LanguageId, ReportNames>> = { en: reportNamesEnglish };

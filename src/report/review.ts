import {
  type Checked,
  checkFinding,
  type Entry,
  type EntryId,
  type ExamEvent,
  type Finding,
  fold,
  stands,
} from '../exam/index.ts';
import { reportEnglish } from './english/papers.ts';
import { checkEvents } from './events.ts';
import { sameJson } from './json.ts';
import { formFaultMessages } from './messages/faults.ts';
import type { ReportMessages } from './messages/papers.ts';
import { findingLine } from './name.ts';
import { plain } from './plain.ts';
import { identityOf, type KeptReport } from './report.ts';

/**
 * What a review pack holds, part by part: the trainee's exam first, then what the supervisor says
 * of it. Parts are only ever added at the end.
 */
export type ReviewPart =
  | {
      readonly kind: 'heading';
      readonly exam: string;
      readonly examiner?: string;
      readonly patientLabel?: string;
      readonly startedAt?: string;
    }
  | { readonly kind: 'event'; readonly event: ExamEvent }
  | Clip
  | Opinion
  | Verdict
  | SignaturePart;

/** The sound of one utterance beside what became of it. */
export interface Clip {
  readonly kind: 'clip';
  /** Entries that the utterance made; none when it was a command or was asked about. */
  readonly entries: readonly EntryId[];
  readonly words: string;
  readonly readBack: string;
  /** A WAV file, base64. */
  readonly wav: string;
}

/** Where a person, not the program, thinks the lesion is. */
export interface Opinion {
  readonly kind: 'opinion';
  readonly by: string;
  readonly site: string;
}

/** What the supervisor says of one entry. */
export interface Verdict {
  readonly kind: 'verdict';
  readonly by: string;
  readonly entry: EntryId;
  readonly verdict: 'agree' | 'amend' | 'query';
  /** The finding as the supervisor has it; with `amend` only. */
  readonly finding?: Finding;
  readonly remark?: string;
}

/** A signature over every part before it; made and checked where there is cryptography. */
export interface SignaturePart {
  readonly kind: 'signature';
  readonly name: string;
  readonly at: string;
  readonly key: string;
  readonly signature: string;
}

export interface Review {
  readonly kept: KeptReport;
  readonly clips: readonly Clip[];
  readonly opinions: readonly Opinion[];
  readonly verdicts: readonly Verdict[];
  readonly signatures: readonly SignaturePart[];
}

/** The trainee's part of a pack: the exam as it was kept, sound where it was kept, own opinion. */
export function partsOf(
  kept: KeptReport,
  clips: readonly Clip[] = [],
  opinions: readonly Opinion[] = [],
): readonly ReviewPart[] {
  return [
    { kind: 'heading', ...identityOf(kept) },
    ...kept.record.events.map((event) => ({ kind: 'event' as const, event })),
    ...clips,
    ...opinions,
  ];
}

const { review: words, notText } = formFaultMessages;

const fail = (path: string, message: string): Checked<never> => ({
  ok: false,
  fault: { path, message },
});

/** Fields of each kind: needed text, optional text, and what is checked by itself. */
const shapes: Readonly<
  Record<
    ReviewPart['kind'],
    { text: readonly string[]; optional: readonly string[]; other: readonly string[] }
  >
> = {
  heading: { text: ['exam'], optional: ['examiner', 'patientLabel', 'startedAt'], other: [] },
  event: { text: [], optional: [], other: ['event'] },
  clip: { text: ['words', 'readBack', 'wav'], optional: [], other: ['entries'] },
  opinion: { text: ['by', 'site'], optional: [], other: [] },
  verdict: { text: ['by', 'verdict'], optional: ['remark'], other: ['entry', 'finding'] },
  signature: { text: ['name', 'at', 'key', 'signature'], optional: [], other: [] },
};

/** Holds the parts of a pack, which come from another person's device, against their form. */
export function checkReview(parts: readonly unknown[]): Checked<Review> {
  const sorted: { [K in ReviewPart['kind']]: Extract<ReviewPart, { kind: K }>[] } = {
    heading: [],
    event: [],
    clip: [],
    opinion: [],
    verdict: [],
    signature: [],
  };
  for (const [i, input] of parts.entries()) {
    const path = `part[${i}]`;
    if (typeof input !== 'object' || input === null || Array.isArray(input)) {
      return fail(path, words.noPart);
    }
    const raw = input as Readonly<Record<string, unknown>>;
    if (typeof raw.kind !== 'string' || !Object.hasOwn(shapes, raw.kind)) {
      return fail(`${path}.kind`, words.noKind(Object.keys(shapes).join(', ')));
    }
    const kind = raw.kind as ReviewPart['kind'];
    const { text, optional, other } = shapes[kind];
    for (const field of Object.keys(raw)) {
      if (![...text, ...optional, ...other, 'kind'].includes(field)) {
        return fail(`${path}.${field}`, words.noField(kind));
      }
    }
    for (const field of [...text, ...optional]) {
      const missing = raw[field] === undefined && optional.includes(field);
      if (!missing && typeof raw[field] !== 'string') return fail(`${path}.${field}`, notText);
    }
    (sorted[kind] as unknown[]).push(input);
  }
  const [heading] = sorted.heading;
  if (heading === undefined || sorted.heading.length > 1) {
    return fail('pack', words.notOneExam);
  }
  const events = checkEvents(sorted.event.map(({ event }) => event));
  if (!events.ok) return events;
  const record = fold(events.value);
  const ids = new Set<unknown>(record.entries.map(({ id }) => id));
  for (const { entries } of sorted.clip) {
    if (!Array.isArray(entries) || !entries.every((id) => ids.has(id))) {
      return fail('clip.entries', words.noEntries);
    }
  }
  for (const verdict of sorted.verdict) {
    const fault = verdictFault(verdict, ids);
    if (fault !== undefined) return fault;
  }
  return {
    ok: true,
    value: {
      kept: { ...identityOf({ ...heading, record }), record },
      clips: sorted.clip,
      opinions: sorted.opinion,
      verdicts: sorted.verdict,
      signatures: sorted.signature,
    },
  };
}

function verdictFault(verdict: Verdict, ids: ReadonlySet<unknown>): Checked<never> | undefined {
  if (!ids.has(verdict.entry)) return fail('verdict.entry', words.noEntry);
  if (!['agree', 'amend', 'query'].includes(verdict.verdict)) {
    return fail('verdict.verdict', words.noVerdict);
  }
  if (verdict.verdict !== 'amend') {
    return verdict.finding === undefined ? undefined : fail('verdict.finding', words.notOfAmend);
  }
  const checked = checkFinding(verdict.finding, 'verdict.finding');
  return checked.ok ? undefined : checked;
}

/** Where trainee and supervisor stand on one entry. */
export interface Difference {
  readonly entry: Entry;
  /** The last thing that was said of it; `open` when nothing was. */
  readonly verdict: Verdict['verdict'] | 'open';
  /** As the supervisor has it, where amended. */
  readonly amended?: Finding;
  readonly remark?: string;
  /** "Left patellar reflex: 3+, amended to left patellar reflex: 2+". */
  readonly text: string;
}

/** Every entry that counts, with what the supervisor last said of it. */
export function differences(
  { kept, verdicts }: Review,
  { names, amended: amendedTo }: ReportMessages = reportEnglish,
): readonly Difference[] {
  return kept.record.entries.filter(stands).map((entry) => {
    const last = verdicts.findLast((v) => v.entry === entry.id);
    const remark = plain(last?.remark ?? '');
    const own = findingLine(entry.finding, names);
    const amended = last?.finding;
    const same = amended !== undefined && sameJson(amended, entry.finding);
    const text = amended === undefined || same ? own : amendedTo(own, findingLine(amended, names));
    return {
      entry,
      verdict: same ? 'agree' : (last?.verdict ?? 'open'),
      ...(amended === undefined || same ? {} : { amended }),
      ...(remark === '' ? {} : { remark }),
      text: remark === '' ? text : `${text} (${remark})`,
    };
  });
}

/**
 * The first event in which a pack that came back differs from the exam as it was sent, or undefined
 * when every event is as it was. Counted from 0; the end of the shorter one counts as a difference.
 */
export function firstChange(
  sent: readonly ExamEvent[],
  back: readonly ExamEvent[],
): number | undefined {
  const length = Math.max(sent.length, back.length);
  for (let i = 0; i < length; i++) if (!sameJson(sent[i], back[i])) return i;
  return undefined;
}

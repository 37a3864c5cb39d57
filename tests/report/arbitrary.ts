import fc from 'fast-check';
import {
  type EntryId,
  type ExamEvent,
  type Finding,
  fold,
  type Kind,
  kinds,
  laterality,
  modalities,
  ms,
  onsetValues,
  reflexQualifiers,
  vocabulary,
} from '../../src/exam/index.ts';
import type { Report } from '../../src/report/index.ts';

/** Any finding that the vocabulary allows. */
export const anyFinding: fc.Arbitrary<Finding> = fc
  .constantFrom(...kinds)
  .chain((kind) => fc.constantFrom(...vocabulary[kind].sites).chain((site) => ofItem(kind, site)));

function ofItem(kind: Kind, site: string): fc.Arbitrary<Finding> {
  const lateral = laterality(kind, site);
  const sides =
    lateral === 'paired'
      ? (['left', 'right'] as const)
      : lateral === 'midline'
        ? (['midline'] as const)
        : (['left', 'right', 'midline'] as const);
  const value: fc.Arbitrary<string | number> =
    kind === 'context' && site === 'age'
      ? fc.integer({ min: 0, max: 120 })
      : fc.constantFrom(
          ...(kind === 'context' && site === 'onset' ? onsetValues : vocabulary[kind].values),
        );
  return fc
    .record({
      side: fc.constantFrom(...sides),
      value: fc.oneof({ weight: 9, arbitrary: value }, fc.constant('not-tested')),
      modality: fc.constantFrom(...modalities),
      qualifiers: fc.option(fc.uniqueArray(fc.constantFrom(...reflexQualifiers)), {
        nil: undefined,
      }),
      beats: fc.option(fc.nat(40), { nil: undefined }),
    })
    .map(
      ({ side, value, modality, qualifiers, beats }) =>
        ({
          kind,
          site,
          side,
          value,
          ...(kind === 'sensation' ? { modality } : {}),
          ...(kind === 'reflex' && qualifiers !== undefined ? { qualifiers } : {}),
          ...(kind === 'clonus' && beats !== undefined ? { beats } : {}),
        }) as Finding,
    );
}

/** Anything that may have been said or typed, the nasty included. */
export const anyWords: fc.Arbitrary<string> = fc.oneof(
  fc.constantFrom(
    '=1+1',
    '@SUM(A1)',
    '-2+3',
    'a,"b"\r\nc',
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    '\u202eleft',
    'line\nLEFT PATELLAR 4+',
  ),
  fc.string({ unit: 'binary', maxLength: 40 }),
  fc.string({ maxLength: 40 }),
);

const anyHearing = fc.record(
  { words: anyWords, confidence: fc.double({ min: 0, max: 1, noNaN: true }) },
  { requiredKeys: ['words'] },
);

type Step =
  | { readonly is: 'say'; readonly finding: Finding }
  | { readonly is: 'correct'; readonly finding: Finding; readonly which: number }
  | { readonly is: 'confirm'; readonly which: number; readonly by: 'explicit' | 'implicit' }
  | { readonly is: 'withdraw'; readonly which: number }
  | { readonly is: 'undo'; readonly which: number }
  | { readonly is: 'complete' };

const anyStep: fc.Arbitrary<Step> = fc.oneof(
  { weight: 6, arbitrary: fc.record({ is: fc.constant('say' as const), finding: anyFinding }) },
  fc.record({ is: fc.constant('correct' as const), finding: anyFinding, which: fc.nat(1000) }),
  {
    weight: 3,
    arbitrary: fc.record({
      is: fc.constant('confirm' as const),
      which: fc.nat(1000),
      by: fc.constantFrom('explicit' as const, 'implicit' as const),
    }),
  },
  fc.record({ is: fc.constant('withdraw' as const), which: fc.nat(1000) }),
  fc.record({ is: fc.constant('undo' as const), which: fc.nat(1000) }),
  fc.record({ is: fc.constant('complete' as const) }),
);

/** The events of a whole exam, with corrections, undoing, and a clock that may have been set back. */
export const anyEvents: fc.Arbitrary<readonly ExamEvent[]> = fc
  .tuple(
    fc.array(fc.tuple(anyStep, fc.integer({ min: -5000, max: 60_000 }), anyHearing), {
      maxLength: 40,
    }),
    fc.integer({ min: 0, max: 2_000_000_000_000 }),
  )
  .map(([steps, start]) => {
    const events: ExamEvent[] = [{ type: 'started', at: ms(start), plan: 'full' }];
    let last = 0;
    let now = start;
    for (const [step, later, hearing] of steps) {
      now += later;
      const at = ms(now);
      const one = (which: number) => [((which % Math.max(last, 1)) + 1) as EntryId];
      if (step.is === 'say') {
        events.push({
          type: 'recorded',
          at,
          entry: ++last as EntryId,
          finding: step.finding,
          hearing,
        });
      } else if (step.is === 'complete') {
        events.push({ type: 'completed', at });
      } else if (step.is === 'undo') {
        events.push({ type: 'undone', at, event: step.which % events.length });
      } else if (last > 0) {
        const [supersedes = 1 as EntryId] = one(step.which);
        if (step.is === 'correct') {
          events.push({
            type: 'corrected',
            at,
            entry: ++last as EntryId,
            supersedes,
            finding: step.finding,
            hearing,
          });
        } else if (step.is === 'confirm') {
          events.push({ type: 'confirmed', at, entries: [supersedes], by: step.by });
        } else {
          events.push({ type: 'withdrawn', at, entries: [supersedes] });
        }
      }
      // No exam has the same event twice in a row, and no reader believes it.
      if (JSON.stringify(events.at(-1)) === JSON.stringify(events.at(-2))) events.pop();
    }
    return events;
  });

/** A report of any exam, with any label. */
export const anyReport: fc.Arbitrary<Report> = fc
  .record(
    {
      exam: fc.uuid(),
      events: anyEvents,
      examiner: anyWords,
      patientLabel: anyWords,
      startedAt: fc
        .date({ min: new Date('1990-01-01'), max: new Date('2090-01-01'), noInvalidDate: true })
        .map((d) => d.toISOString()),
      notExamined: fc.array(anyWords, { maxLength: 3 }),
    },
    { requiredKeys: ['exam', 'events', 'notExamined'] },
  )
  .map(({ events, ...rest }) => ({ ...rest, record: fold(events) }));

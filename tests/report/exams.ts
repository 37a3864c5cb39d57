import { type EntryId, type ExamEvent, type Finding, fold, ms } from '../../src/exam/index.ts';
import type { Caution, Hypothesis, LesionSite, Localization } from '../../src/localize/result.ts';
import type { Report } from '../../src/report/index.ts';

const left = 'left' as const;
const right = 'right' as const;

/** An invented exam of an L5 root on the left, with a correction, a withdrawal and an open item. */
const findings: readonly Finding[] = [
  { kind: 'context', site: 'age', side: 'midline', value: 54 },
  { kind: 'context', site: 'onset', side: 'midline', value: 'weeks' },
  { kind: 'reflex', site: 'jaw', side: 'midline', value: '2+' },
  { kind: 'reflex', site: 'patellar', side: left, value: '3+' },
  { kind: 'reflex', site: 'patellar', side: right, value: '2+' },
  { kind: 'reflex', site: 'medial-hamstring', side: left, value: '1+', qualifiers: ['trace'] },
  { kind: 'reflex', site: 'medial-hamstring', side: right, value: '2+' },
  { kind: 'reflex', site: 'achilles', side: left, value: 'not-tested' },
  { kind: 'clonus', site: 'ankle', side: left, value: 'unsustained', beats: 4 },
  { kind: 'plantar', site: 'foot', side: left, value: 'flexor' },
  { kind: 'plantar', site: 'foot', side: right, value: 'flexor' },
  { kind: 'superficial', site: 'abdominal-upper', side: right, value: 'present' },
  { kind: 'sign', site: 'straight-leg-raise', side: left, value: 'present' },
  { kind: 'strength', site: 'shoulder-abduction', side: left, value: '5' },
  { kind: 'strength', site: 'great-toe-extension', side: left, value: '4-' },
  { kind: 'strength', site: 'great-toe-extension', side: right, value: '5' },
  { kind: 'tone', site: 'lower-limb', side: left, value: 'normal' },
  { kind: 'bulk', site: 'ankle-dorsiflexion', side: left, value: 'wasted' },
  { kind: 'fasciculation', site: 'ankle-dorsiflexion', side: left, value: 'absent' },
  { kind: 'sensation', site: 'L5', side: left, modality: 'pinprick', value: 'reduced' },
  { kind: 'coordination', site: 'lower-limb', side: right, value: 'normal' },
  { kind: 'gait', site: 'gait', side: left, value: 'steppage' },
];

const start = 5000;

function eventsOf(all: readonly Finding[]): readonly ExamEvent[] {
  const events: ExamEvent[] = [{ type: 'started', at: ms(start), plan: 'leg-roots' }];
  for (const [i, finding] of all.entries()) {
    const entry = (i + 1) as EntryId;
    const at = ms(start + (i + 1) * 4000);
    events.push({ type: 'recorded', at, entry, finding, hearing: { words: 'as said' } });
    events.push({ type: 'confirmed', at, entries: [entry], by: 'implicit' });
  }
  const next = all.length + 1;
  const at = ms(start + next * 4000);
  return [
    ...events,
    {
      type: 'corrected',
      at,
      entry: next as EntryId,
      supersedes: 4 as EntryId,
      finding: { kind: 'reflex', site: 'patellar', side: left, value: '2+' },
      hearing: { words: 'correction left two plus', confidence: 0.97 },
    },
    { type: 'withdrawn', at, entries: [9 as EntryId] },
    { type: 'completed', at },
  ];
}

const toe: Finding = {
  kind: 'strength',
  site: 'great-toe-extension',
  side: left,
  value: '4-',
};

const root: Hypothesis = {
  site: 'root:L5' as LesionSite,
  side: left,
  probability: 0.82,
  name: 'L5 root',
  explains: [{ finding: toe, text: 'weak great toe extension', weight: 3 }],
  against: [],
  unexplained: [],
};

const caution: Caution = { urgency: 'now', text: 'ask about the bladder at once', because: [] };

const localization: Localization = {
  hypotheses: [
    root,
    {
      ...root,
      site: 'nerve:common-fibular' as LesionSite,
      name: 'common fibular nerve',
      probability: 0.13,
    },
  ],
  other: 0.05,
  nextTests: [
    {
      kind: 'strength',
      site: 'hip-abduction',
      side: left,
      name: 'Hip abduction, left',
      bits: 0.4,
      outcomes: [{ value: '4', towards: 'L5 root, left' }],
      text: 'test left hip abduction: weak speaks for the root',
    },
  ],
  cautions: [caution],
};

export const rootExam: Report = {
  exam: '0b9f3c1e-8f0a-4c55-9a55-5a2a4c2f6d10',
  record: fold(eventsOf(findings)),
  localization,
  notExamined: ['right Achilles reflex', 'saddle area, pinprick'],
  examiner: 'Dr Invented',
  patientLabel: 'Demo 7',
  startedAt: '2026-11-25T10:00:00Z',
  version: '0.1.0',
};

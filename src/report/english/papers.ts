import { examMessages } from '../../exam/index.ts';
import type { Argued, ReportMessages } from '../messages/papers.ts';
import { drawingsEnglish } from './drawings.ts';
import { reportNamesEnglish } from './names.ts';

const locale = 'en';
const whole = new Intl.NumberFormat(locale, { maximumFractionDigits: 0 });

const argued: Readonly<Record<Argued, string>> = {
  for: 'For',
  against: 'Against',
  unexplained: 'Not accounted for',
};

/** What the papers of an exam say in English. */
export const reportEnglish: ReportMessages = {
  locale,
  exam: examMessages.en,
  names: reportNamesEnglish,
  text: {
    title: 'Neurological examination',
    patient: 'Patient',
    noLabel: 'no label given',
    examiner: 'Examiner',
    notNamed: 'not named',
    started: 'Started',
    noTime: 'time not known',
    plan: 'Plan',
    status: 'Status',
    complete: 'examination complete',
    notComplete: 'EXAMINATION NOT COMPLETE when this was written',
    open: 'Open',
    nothingRecorded: 'Nothing was recorded.',
    cannotWait: 'Cannot wait',
    localization: 'Localization',
    disclaimer:
      'The localization is computed from the findings above. It is an aid to reasoning; it defers to the clinician and to local guidance.',
    tests: 'What would tell more',
    cautions: 'Cautions',
    notExamined: 'Not examined',
    notConfirmed: 'Not confirmed by the examiner',
    replacedValues: 'Replaced values',
    withdrawn: 'Withdrawn',
    laterValue: 'a later value',
    signature: 'Signature',
    dateAndTime: 'Date and time',
    bodyCaption: 'Findings on the body',
    pathwayCaption: 'Site of the lesion as computed',
    last: 'Last',
    legendOpen: 'not confirmed',
    printLegendOpen: 'not confirmed by the examiner',
    legendNotTested: 'not tested',
    legendNone: 'not examined',
    legendUnequal: 'left and right differ',
  },
  // As ISO 8601 writes it: a note is read in other countries, and by programs.
  instant: (iso) => iso.replace('T', ' '),
  percent: (probability) => {
    if (probability > 0 && probability < 0.01) return '<1 %';
    if (probability < 1 && probability > 0.99) return '>99 %';
    return `${whole.format(probability * 100)} %`;
  },
  unconfirmed: (count) => `${count} ${count === 1 ? 'item' : 'items'} not confirmed, marked (?)`,
  marks: { open: '(?)', notTested: 'NT', none: '–', unequal: '≠' },
  columns: { left: 'Left', right: 'Right', midline: 'Midline' },
  kinds: {
    context: 'Context',
    reflex: 'Tendon reflexes',
    clonus: 'Clonus',
    plantar: 'Plantar responses',
    superficial: 'Superficial reflexes',
    sign: 'Signs',
    strength: 'Strength',
    tone: 'Tone',
    bulk: 'Muscle bulk',
    fasciculation: 'Fasciculation',
    sensation: 'Sensation',
    coordination: 'Coordination',
    gait: 'Gait',
  },
  remarks: {
    reflex: 'Scale 0 absent, 1+ diminished, 2+ normal, 3+ brisk, 4+ with clonus.',
    strength:
      'MRC scale 0 to 5; plus and minus as clinics use them (the MRC divides only grade 4).',
  },
  regions: { neck: 'neck', 'upper-limb': 'upper limb', 'lower-limb': 'lower limb' },
  rowsAre: {
    muscle: 'Muscle',
    reflex: 'Reflex',
    response: 'Response',
    site: 'Site',
    sign: 'Sign',
    part: 'Part',
  },
  movement: (movement, muscle) => `${movement} (${muscle})`,
  repeated: (values) => values.join(', then '),
  item: (title, side, value) => `${title}${side === undefined ? '' : `, ${side}`}: ${value}`,
  site: (place, name, chance) => `${place}. ${name}: ${chance}`,
  reasons: (why, shown, more) =>
    `${argued[why]}: ${[...shown, ...(more > 0 ? [`${more} more`] : [])].join('; ')}`,
  elsewhere: (chance) => `Any other site: ${chance}`,
  replaced: (finding, by) => `${finding}, replaced by ${by}`,
  amended: (finding, to) => `${finding}, amended to ${to}`,
  changes: {
    same: 'as before',
    better: 'better',
    worse: 'WORSE',
    other: 'changed',
    'not-comparable': 'not in both',
  },
  change: (item, from, to, change) => `${item}: ${from} to ${to}, ${change}`,
  examColumn: (place) => `exam ${place}`,
  drawings: drawingsEnglish,
  exchange: {
    findings: 'Findings',
    record: 'Record',
    recordMore: 'Every event of the record, as it was kept.',
    unconfirmed: (finding) => `${finding} (not confirmed)`,
    notConfirmed: 'Not confirmed by the examiner.',
    laterality: 'Laterality',
    quality: 'Quality',
    beats: 'Beats',
    normal: 'normal',
    abnormal: 'abnormal',
    methods: {
      reflex: 'Tendon tap, graded 0 to 4+',
      clonus: 'Brisk passive stretch',
      plantar: 'Stroke along the lateral sole',
      superficial: 'Stroke of the skin',
      strength: 'Manual muscle testing, MRC scale 0 to 5',
      tone: 'Passive movement',
      bulk: 'Inspection',
      fasciculation: 'Inspection',
      gait: 'Inspection',
    },
  },
};

import { examMessages } from '../exam/index.ts';
import type { DialogueMessages } from './messages.ts';

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What the dialogue says, in English. */
export const dialogueEnglish: DialogueMessages = {
  names: examMessages.en,
  text: {
    sayThatAgain: 'Please say that again.',
    notRecorded: 'Not recorded.',
    withdrawn: 'Withdrawn. Please say it again.',
    disregarded: 'Disregarded.',
    nothingSaid: 'Nothing was said yet.',
    standingBy: 'Standing by.',
    listening: 'Listening.',
    help: 'Say a side, a reflex and its grade. For example: right patellar three plus.',
    nothingToTakeBack: 'There is nothing to take back.',
    nothingToUndo: 'There is nothing to undo.',
    undone: 'Undone.',
    complete: 'Exam complete.',
    confirmedComplete: 'Confirmed. Exam complete.',
    nothingRecorded: 'Nothing is recorded yet.',
    nothingLeft: 'Nothing is left of this plan.',
    asksCorrection: 'What should be corrected?',
  },
  readBack: (findings) => findings.map((finding) => `${capital(finding)}.`).join(' '),
  bothSides: (finding) => `both sides, ${finding}`,
  corrected: (readBack) => `Corrected. ${readBack}`,
  was: (values) => values.map((value) => `Was ${value}.`).join(' '),
  takenBack: (findings) => `Taken back: ${findings.join(', ')}.`,
  again: (findings) => `Again: ${findings.join(', ')}.`,
  unconfirmed: (readBack) => `Not yet confirmed: ${readBack} Say affirm, or correct.`,
  didYouSay: (readBack) => `Did you say: ${readBack}`,
  notExamined: (items, more) => {
    const rest = more > 0 ? `, and ${more} more` : '';
    return `Not examined: ${items.join(', ')}${rest}. Examine, or say skip.`;
  },
  left: (items) => `Left: ${items.join(', ')}.`,
  subject: ({ side, items, value }) =>
    [side, items.join(' and '), value].filter((part) => part !== undefined).join(' '),
  asksSide: (subject) => capital(`${subject}: left, right or both?`),
  asksModality: (subject) =>
    capital(`${subject}: light touch, pinprick, temperature, vibration or position?`),
  asksKind: (subject) => capital(`${subject}: reflex or strength?`),
  asksWhich: (subject, values) => capital(`${subject}: ${values.join(' or ')}?`),
  asksValue: (subject, choices, offScale) =>
    capital(`${subject}: ${offScale ? (offScales[choices] ?? asked[choices]) : asked[choices]}`),
  prompt: (item, modality) => capital(`${item}${modality === undefined ? '' : `, ${modality}`}?`),
};

/** What a value may be, asked for by the examiner's own words. */
const asked = {
  'flexor-or-mute': 'flexor or mute?',
  'spastic-or-rigid': 'spastic or rigid?',
  beats: 'sustained, or how many beats?',
  strength: 'which grade, 0 to 5?',
  reflex: 'which grade, 0 to 4 plus?',
  anything: 'what is the finding?',
} as const;

const offScales: Partial<Record<keyof typeof asked, string>> = {
  strength: 'strength goes from 0 to 5. Which grade?',
  reflex: 'reflexes go from 0 to 4 plus. Which grade?',
};

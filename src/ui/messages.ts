import { type DialogueMessages, dialogueMessages } from '../dialogue/index.ts';
import {
  type ExamMessages,
  examMessages,
  type Kind,
  type LanguageId,
  type Side,
} from '../exam/index.ts';
import {
  type DrawingMessages,
  drawingMessages,
  type ReportNames,
  reportNames,
} from '../report/index.ts';
import { commandMessages } from './commandMessages.ts';
import type { Theme, Trouble, VoiceChoice } from './room.ts';
import type { Standing } from './standing.ts';

/**
 * Every word of the page in one language. What can be said (commands, sides, grades) is not here:
 * it belongs to the grammar, and a button that stands for a spoken command carries its very words.
 */
export interface Messages {
  /** A language tag, for dates and numbers. */
  readonly locale: string;
  /** The language of what is fetched late, and computed elsewhere. */
  readonly language: LanguageId;
  /** Names of what is examined, and what the dialogue says: in the language of the page. */
  readonly names: ExamMessages;
  readonly dialogue: DialogueMessages;
  readonly report: ReportNames;
  readonly drawings: DrawingMessages;
  readonly program: string;
  readonly tagline: string;
  readonly disclaimer: string;
  readonly standing: Readonly<Record<Standing, string>>;
  readonly standingMore: Readonly<Record<Standing, string>>;
  readonly trouble: Readonly<Record<Trouble, string>>;
  readonly kinds: Readonly<Record<Kind, string>>;
  readonly sides: Readonly<Record<Side, string>>;
  readonly themes: Readonly<Record<Theme, string>>;
  readonly voices: Readonly<Record<VoiceChoice, string>>;
  /** What each command does, by its id. */
  readonly commands: Readonly<Record<string, string>>;
  readonly percent: (p: number) => string;
  readonly count: (n: number) => string;
  readonly megabytes: (bytes: number) => string;
  readonly text: Readonly<Record<TextKey, string>>;
}

export type TextKey = keyof typeof text;

const text = {
  skipToTyping: 'Skip to typing',
  listen: 'Listen',
  listenAgain: 'Listen again',
  stopListening: 'Stop listening',
  beforeMicrophone:
    'When you press Listen, the browser asks for the microphone. What it hears is understood on this device, is not kept, and goes nowhere else.',
  chooseRecording: 'Hear a WAV recording',
  stopRecording: 'Stop the recording',
  demo: 'Hear a demo exam',
  plan: 'Exam plan',
  typeLabel: 'Type instead of speaking',
  typeHint: 'right patellar 3+, left 2+',
  enter: 'Enter',
  status: 'State',
  loudness: 'Loudness',
  heard: 'Heard',
  understood: 'Understood',
  nothingHeard: 'Nothing yet. Try: “right patellar three plus, left two plus”.',
  passedOver: 'Not examination speech: passed over.',
  notUnderstood: 'Not understood, so nothing was recorded. “What can I say” shows what is.',
  mustAnswer: 'Not recorded until you answer.',
  saidBack: 'Said back',
  question: 'Question',
  questionsLater: 'more to answer after this',
  answerWith: 'Answer by voice, by typing, or with a button',
  prompt: 'Asked for now',
  leavePrompt: 'Leave this item',
  commands: 'Commands',
  record: 'Record',
  recordEmpty: 'Nothing is recorded yet.',
  item: 'Item',
  open: 'to confirm',
  confirmed: 'confirmed',
  goneBy: 'confirmed by going on',
  superseded: 'was',
  withdrawn: 'taken back:',
  notExamined: 'not examined',
  differs: 'sides differ',
  abnormal: 'abnormal',
  openCount: 'to confirm',
  examineAgain: 'Examine',
  left: 'What is left',
  leftNone: 'Nothing of this plan is left.',
  transcript: 'Everything said',
  transcriptEmpty: 'Nothing was said yet.',
  summary: 'Where the lesion may be',
  localizing: 'Being computed from the record …',
  localized: 'Computed from the record as it stands.',
  cautions: 'Cautions',
  now: 'Cannot wait',
  soon: 'Soon',
  note: 'Note',
  because: 'because of',
  sites: 'Ranked sites',
  speaksFor: 'For',
  speaksAgainst: 'Against',
  unexplained: 'Left unexplained',
  elsewhere: 'Any other site',
  nextTests: 'What one more test would tell',
  papers: 'Take it with you',
  saveNote: 'Save note',
  copyNote: 'Copy note',
  savePage: 'Save page to print',
  saveJson: 'Save record (JSON)',
  saveCsv: 'Save table (CSV)',
  saveFhir: 'Save FHIR bundle',
  newExam: 'New exam',
  help: 'What can I say',
  settings: 'Settings',
  close: 'Close',
  search: 'Search',
  searchNone: 'Nothing that can be said has these words. Try one of them alone.',
  helpIntro: 'Examples from the grammar. Press one to say it.',
  hearExamples: 'Only let me hear how it is said: nothing comes of it',
  theme: 'Colours',
  voice: 'Voice',
  pace: 'Pace of the voice',
  volume: 'Volume of the voice',
  lead: 'Who leads',
  leadExaminer: 'I lead, in any order',
  leadPlessor: 'Prompt me, item by item',
  headphones: 'I wear headphones: listen while speaking',
  earcons: 'Short sounds',
  body: 'Reflexes as found; the patient faces you',
  pathway: 'The leading sites on the pathway from cortex to muscle and skin',
  engineLoading: 'Speech recognition is loading. Typing works already.',
  typingWorks: 'Typing works.',
  planDone: 'Nothing of this plan is left. Say exam complete.',
  saidOver:
    'You were heard speaking, but not what you said: Plessor does not listen to itself. Say that again.',
  noSpeech: 'no speech was heard in it. Is it the right recording, and loud enough?',
  copied: 'The note is on the clipboard.',
  copyFailed: 'The browser did not let the note be copied. Save it instead.',
  notSaved: 'This exam is not saved. Save it first, or it is gone when the next one begins.',
  beginAnyway: 'Begin without saving',
  beginNow: 'Begin the next exam',
  savedNow: 'Saved where the browser keeps its downloads.',
} as const;

const kinds: Readonly<Record<Kind, string>> = {
  reflex: 'Tendon reflexes',
  clonus: 'Clonus',
  plantar: 'Plantar responses',
  sign: 'Signs',
  superficial: 'Superficial reflexes',
  strength: 'Strength',
  tone: 'Tone',
  bulk: 'Muscle bulk',
  fasciculation: 'Fasciculation',
  sensation: 'Sensation',
  coordination: 'Coordination',
  gait: 'Gait',
  context: 'Context',
};

/** English as it is written where this device is at home: dates and numbers differ between countries. */
const locale =
  globalThis.navigator?.languages?.find((tag) => tag === 'en' || tag.startsWith('en-')) ?? 'en';

/** The page in English. */
export const english: Messages = {
  locale,
  language: 'en',
  names: examMessages.en,
  dialogue: dialogueMessages.en,
  report: reportNames.en,
  drawings: drawingMessages.en,
  program: 'Plessor',
  tagline: 'The neurological examination, hands free.',
  disclaimer:
    'An aid to reasoning, computed from these findings alone. It defers to the clinician and to local guidance.',
  standing: {
    off: 'Ready',
    loading: 'Loading',
    asking: 'Allow the microphone',
    listening: 'Listening',
    'key-up': 'Key up',
    playing: 'Hearing the recording',
    speaking: 'Speaking',
    'standing-by': 'Standing by',
    deaf: 'I cannot hear you',
    lost: 'Not listening',
  },
  standingMore: {
    off: 'Press Listen, or type.',
    loading: 'Speech recognition is loading. Typing works already.',
    asking: 'The browser is asking you. Choose “allow”.',
    listening: 'Say a side, an item and its grade.',
    'key-up': 'Nothing is heard.',
    playing: 'The recording is heard like a voice in the room.',
    speaking: 'Plessor does not listen to itself. Escape stops it.',
    'standing-by': 'Say “go on” to continue.',
    deaf: 'Next to no sound reaches the microphone. Is it muted, or another one chosen?',
    lost: 'The exam goes on by typing.',
  },
  trouble: {
    denied:
      'The microphone was refused. Allow it for this page in the browser’s site settings, then press Listen again. Typing works.',
    'no-device': 'No microphone was found. Connect one, then press Listen again. Typing works.',
    'in-use':
      'Another program holds the microphone. Close it there, then press Listen again. Typing works.',
    unplugged:
      'The microphone was unplugged. Nothing recorded is lost. Connect it and it is taken up again, or type.',
    suspended: 'The browser has paused the sound. Press Listen again. Typing works.',
    unsupported: 'This browser cannot give a page the microphone. Typing works.',
    failed: 'The microphone does not work just now. Press Listen again, or type.',
  },
  kinds,
  sides: { left: 'Left', right: 'Right', midline: 'Midline' },
  themes: { auto: 'As the device', light: 'Light', dark: 'Dark', contrast: 'High contrast' },
  voices: {
    auto: 'A voice of this device, else the built-in one',
    embedded: 'The built-in voice',
    silent: 'Silent: text only',
  },
  commands: commandMessages,
  percent: (p) =>
    new Intl.NumberFormat(locale, { style: 'percent', maximumFractionDigits: 0 }).format(p),
  count: (n) => new Intl.NumberFormat(locale).format(n),
  megabytes: (bytes) =>
    `${new Intl.NumberFormat(locale, { minimumFractionDigits: 1, maximumFractionDigits: 1 }).format(bytes / 1e6)} MB`,
  text,
};

export const interfaceMessages: Readonly<Record<LanguageId, Messages>> = { en: english };

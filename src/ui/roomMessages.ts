import { chosenLanguage, type LanguageId } from '../exam/index.ts';

/** What the room says and shows of itself: who leads, the plan, the voice, the end. In English. */
const english = {
  lead: {
    plessor: 'Prompting item by item. Say the side and the grade.',
    examiner: 'You lead.',
  },
  fetching: 'One moment …',
  notFetched:
    'This part of Plessor could not be fetched; the exam goes on. Try again with a network, or save the exam and reload the page.',
  fetchAgain: 'Try again',
  notLocalized: 'the localization could not be computed; reload the page',
  localizedTooLate: 'the localization took too long; call the exam complete again',
  plan: (name: string) => `Plan: ${name}.`,
  again: (name: string, minutes: string) => `${name}: ${minutes} minutes have gone. Examine again.`,
  check: {
    title: 'Microphone check',
    intro: 'Nothing said here is recorded. Close it, or say “go on”, to begin.',
    try: 'Say:',
    example: 'right patellar two plus',
    said: (findings: string) => `I heard: ${findings} Not recorded.`,
    works: 'The microphone works. Not recorded.',
    doubted: 'Heard with doubt: in an exam you would be asked. Come nearer, or speak louder.',
    notUnderstood: 'Not examination speech: in an exam it would be passed over.',
  },
  noPlan: 'There is no such plan.',
  ownPlan: {
    title: 'My own plan',
    earlier: 'My own plan, as it was',
    empty: 'Your own plan has no items yet. Choose them.',
    intro:
      'Choose what it asks for, on both sides where there are two. It is kept in this browser.',
    chosen: (count: string) => `Chosen: ${count}`,
  },
  attention: {
    title: 'Attention word',
    intro:
      'Only what begins with it is taken. The answer to a question needs none, nor does what is typed.',
    none: 'None: everything said is listened to',
    on: (words: string) => `Only what begins with “${words}” is taken.`,
    off: 'No attention word is needed.',
    begin: (words: string) => `Begin with “${words}”.`,
  },
  key: {
    title: 'Key or foot switch',
    intro: 'A foot switch counts as the key it sends. It works while this page is in front.',
    uses: {
      none: 'Listen without a key',
      held: 'Listen only while the key is held',
      switched: 'The key starts and stops listening',
    },
    choose: 'Choose the key',
    press: 'Press the key now. Escape leaves it as it is.',
    chosen: (name: string) => `The key is ${name}.`,
    notChosen: 'No key is chosen. The button “Hear me” does the same.',
    writes: 'In a text field it writes and does not switch.',
    taken: {
      page: 'The page itself needs this key. Press another, such as F8 or F13.',
      reader: 'Screen readers need this key. Press another, such as F8 or F13.',
      browser: 'The browser needs this key. Press another, such as F8 or F13.',
      unknown: 'The browser does not tell which key this is. Press another.',
    },
    some: 'the key',
    chooseFirst: 'Choose the key first.',
    off: 'Listening without a key.',
    /** What is announced, once: the key itself goes up and down too often for that. */
    told: {
      held: (name: string) => `Listening only while ${name} is held.`,
      switched: (name: string) => `Listening starts and stops with ${name}.`,
    },
    up: {
      held: (name: string) => `Hold ${name} and speak.`,
      switched: (name: string) => `Press ${name} and speak.`,
    },
    turn: 'Hear me',
  },
  confirming: {
    every: 'Confirming every finding.',
    costly: 'Confirming what is abnormal.',
    end: 'Confirming at the end.',
  },
  aloud: {
    every: 'Speaking every finding.',
    costly: 'Speaking what is abnormal.',
    end: 'Speaking at the end.',
  },
  aloudTitle: 'Speak back',
  aloudOptions: {
    every: 'Speak every finding',
    costly: 'Speak what is abnormal, unequal or changed',
    end: 'Speak at the end only; findings are shown',
  },
  confirmTitle: 'Confirm in words',
  confirmOptions: {
    every: 'Confirm every finding',
    costly: 'Confirm what is abnormal, unequal or changed',
    end: 'Confirm at the end',
  },
  voiceOn: 'Voice on.',
  voiceOff: 'Voice off. What is said back is shown.',
  pace: (to: string) => `Pace ${to}.`,
  volume: (to: string) => `Volume ${to}.`,
  noChoice: (number: string) => `There is no choice ${number}.`,
  where: ({ plan, leads, left, open }: Whereabouts) =>
    [
      `Plan: ${plan}.`,
      leads ? 'Plessor prompts.' : 'You lead.',
      left === 0 ? 'Nothing is left.' : `${left} left.`,
      open === 0 ? 'Nothing waits for a yes.' : `${open} to confirm.`,
    ].join(' '),
  completeFirst: 'First: exam complete.',
  nothingToSign: 'Nothing is recorded, so there is nothing to sign off.',
  answerFirst: 'A question is open. Answer it, or say disregard; then sign off.',
  signed: (count: number) =>
    `Signed off: ${count} ${count === 1 ? 'finding' : 'findings'}, all confirmed. Say next patient.`,
  sayAgain: 'Say that again.',
  learning: {
    title: 'My way of speaking',
    learn: 'Learn my voice',
    intro:
      'Findings that you let stand teach the built-in recognition how you speak. What it learns is a row of numbers, no sound, in this browser alone. What other voices say must be heard as well as before, or it is not used.',
    none: 'Nothing is learnt yet. It takes about ten findings that stand, heard by microphone since the page was opened.',
    learnt: (count: string) => `Learnt from ${count} replies.`,
    unused: 'It is not used now.',
    forget: 'Forget my voice',
    on: 'Learning your voice.',
    off: 'Your voice is not learnt.',
    forgotten: 'Your voice is forgotten.',
  },
  offlineTitle: 'Without a network',
  offline: {
    unable: 'This browser does not keep the page; it opens only with a network.',
    fetching: 'The page is being kept on this device …',
    kept: 'The page is kept on this device and opens without a network.',
    updated: 'A new version is here. It starts when the page is next opened; this exam goes on.',
  },
  holds: (megabytes: string) => `It holds ${megabytes} MB here, your records among them.`,
  signedMark: 'Signed off',
  nextUnfinished:
    'This exam is not complete. Say affirm for the next patient, or negative to stay.',
  nextUnsaved: 'This exam is not saved. Say affirm to let it go, or negative to stay.',
  stays: 'The exam goes on.',
  next: 'Next patient.',
};

export type RoomMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, RoomMessages>> = { en: english };
export const roomMessages: RoomMessages = byLanguage[chosenLanguage];

interface Whereabouts {
  readonly plan: string;
  readonly leads: boolean;
  readonly left: number;
  readonly open: number;
}

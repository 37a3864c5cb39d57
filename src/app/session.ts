import {
  contextOf,
  type Dialogue,
  type DialogueEvent,
  type DialogueMessages,
  dialogueMessages,
  type Effect,
  type RecordsAct,
  type SaidAs,
  type Strictness,
  start,
  step,
} from '../dialogue/index.ts';
import {
  type ExamEvent,
  type ExamRecord,
  type Finding,
  gapName,
  gapsOf,
  type Hearing,
  type Ms,
  standingFindings,
} from '../exam/index.ts';
import {
  type Context,
  commands,
  type Expectation,
  type Interpretation,
  interpret,
  isGrave,
  type Language,
  uncalled,
} from '../interpret/index.ts';
import type { Localization } from '../localize/result.ts';
import type { Sound } from '../ports.ts';

/** What became of an utterance (contract.md, section 4). */
export type Outcome = 'recorded' | 'ask' | 'command' | 'ignored';

/** An utterance as it is shown, printed and exported. Times are from the start of the sound. */
export interface Utterance {
  readonly startMs: number;
  readonly endMs: number;
  readonly heard: string;
  /** Probability that it was heard right, 0 to 1; 1 for what was typed. */
  readonly confidence: number;
  readonly outcome: Outcome;
  readonly findings: readonly Finding[];
  /** An id of the grammar's. */
  readonly command: string | null;
  /** What was said back, or an empty text. */
  readonly readBack: string;
}

/** Words as an ear or a keyboard gives them. */
export interface HeardWords {
  readonly words: readonly string[];
  readonly startMs: number;
  readonly endMs: number;
  readonly confidence: number;
  /** `foreign` is not examination speech: it is shown and otherwise passed over. */
  readonly certainty: 'sure' | 'unsure' | 'foreign';
  /** The utterance itself, where the patient agreed that it is kept. */
  readonly sound?: Sound;
}

export interface SessionParts {
  readonly language: Language;
  /** What is said back; English unless told otherwise. */
  readonly messages?: DialogueMessages;
  readonly now: () => Ms;
  /** Speaks and shows; may take its time, the exam does not wait for it. */
  readonly say: (text: string, as: SaidAs) => void;
  readonly hush: () => void;
  /** Keeps an event; called in order, before what it causes is said. */
  readonly keep: (event: ExamEvent) => void;
  readonly help: () => void;
  /** What is asked of earlier exams, papers and the lock; where there are none it is left out. */
  readonly records?: (act: RecordsAct) => void;
  /**
   * Told of every command, and with an empty text of findings; gives what is said back where the
   * command is the room's, not the exam's. Where there is no room such commands do nothing.
   */
  readonly room?: (command: string, sure: boolean) => string | undefined;
  /** Computes where the lesion is, here and now; a page that does so in a worker leaves it out. */
  readonly localize?: (findings: readonly Finding[]) => Localization;
  /** Called after every change. */
  readonly changed: (session: Session) => void;
}

export interface Session {
  readonly state: Dialogue;
  readonly utterances: readonly Utterance[];
  /** Present from "exam complete" on, and kept up with later changes. */
  readonly localization: Localization | undefined;
  /** What the interpreter knows now; `ruleFor` gives the grammar to listen with. */
  readonly context: Context;
  begin(plan: string): void;
  resume(record: ExamRecord): void;
  prompt(item: Expectation | undefined): void;
  /** How much must be confirmed in words. */
  strict(strictness: Strictness): void;
  /** The word that must call for attention, where one must; what is typed needs none. */
  attend(word: string | undefined): void;
  hear(heard: HeardWords): Utterance;
  /** Typed text, one utterance. */
  type(text: string): Utterance;
  /** Names of what the plan asks for and was not examined. */
  notExamined(): readonly string[];
}

/** One exam: words in, dialogue and record out. Knows no sound, no screen and no disk. */
export function createSession(parts: SessionParts): Session {
  const { language, now, messages = dialogueMessages.en } = parts;
  let state = start;
  let utterances: readonly Utterance[] = [];
  let localization: Localization | undefined;

  const summarize = (): void => {
    localization = parts.localize?.(standingFindings(state.record));
  };
  const act = (effect: Effect): void => {
    switch (effect.type) {
      case 'keep':
        parts.keep(effect.event);
        break;
      case 'say':
        parts.say(effect.text, effect.as);
        break;
      case 'hush':
        parts.hush();
        break;
      case 'help':
        parts.help();
        break;
      case 'records':
        parts.records?.(effect.act);
        break;
      case 'summarize':
        summarize();
        break;
      default:
        effect satisfies never;
    }
  };
  /** Takes a step and gives what was said in it. */
  const take = (event: DialogueEvent): string => {
    const taken = step(state, event, messages);
    state = taken.state;
    if (localization !== undefined) summarize();
    taken.effects.forEach(act);
    return taken.effects.flatMap((e) => (e.type === 'say' ? [e.text] : [])).join(' ');
  };

  /** What the room says to a command of its own; nothing where the exam is meant. */
  const ofRoom = (meaning: Interpretation, sure: boolean): string | undefined => {
    const command = meaning.is === 'command' ? meaning.command : '';
    const text =
      parts.room?.(command, sure) ?? (command === '' || isOfExam(command) ? undefined : '');
    if (text === undefined || text === '') return text;
    state = { ...state, lastSaid: text };
    parts.say(text, 'answer');
    return text;
  };

  const understood = (
    { words, startMs, endMs, confidence, certainty }: HeardWords,
    context: Context,
  ): Utterance => {
    const heard = words.join(' ');
    const meaning: Interpretation =
      certainty === 'foreign' ? { is: 'nothing' } : interpret(language, words, context);
    const before = state;
    const hearing: Hearing = { words: heard, confidence };
    const sure = certainty === 'sure' ? 'sure' : 'unsure';
    const readBack =
      meaning.is === 'nothing' || ignoredNow(before, meaning)
        ? ''
        : (ofRoom(meaning, sure === 'sure') ??
          take({ type: 'heard', at: now(), hearing, meaning, certainty: sure }));
    const outcome = outcomeOf(before, meaning, sure);
    const utterance: Utterance = {
      startMs,
      endMs,
      heard,
      confidence,
      outcome,
      findings: meaning.is === 'findings' && outcome !== 'ignored' ? meaning.findings : [],
      command: meaning.is === 'command' && outcome !== 'ignored' ? meaning.command : null,
      readBack,
    };
    utterances = [...utterances, utterance];
    parts.changed(session);
    return utterance;
  };

  const session: Session = {
    get state() {
      return state;
    },
    get utterances() {
      return utterances;
    },
    get localization() {
      return localization;
    },
    get context() {
      return contextOf(state);
    },
    begin(plan) {
      take({ type: 'began', at: now(), plan });
      parts.changed(session);
    },
    resume(record) {
      take({ type: 'resumed', record });
      if (record.complete) summarize();
      parts.changed(session);
    },
    prompt(item) {
      take({ type: 'prompted', item });
      parts.changed(session);
    },
    strict(strictness) {
      take({ type: 'strictness', strictness });
    },
    attend(word) {
      take({ type: 'attention', word });
    },
    hear: (heard) => understood(heard, contextOf(state)),
    type(text) {
      const { attention, ...context } = contextOf(state);
      const typed = language.words(text);
      const words = attention === undefined ? typed : uncalled(language, typed);
      const heard = { words, startMs: 0, endMs: 0, confidence: 1, certainty: 'sure' } as const;
      return understood(heard, context);
    },
    notExamined() {
      return gapsOf(state.record).map((gap) => gapName(gap, messages.names));
    },
  };
  return session;
}

const isOfExam = (command: string): boolean => commands.some((one) => one === command);

/** While standing by, only "go on" is taken. */
const ignoredNow = (state: Dialogue, meaning: Interpretation): boolean =>
  state.mode === 'paused' && !(meaning.is === 'command' && meaning.command === 'go-on');

function outcomeOf(
  state: Dialogue,
  meaning: Interpretation,
  certainty: 'sure' | 'unsure',
): Outcome {
  if (meaning.is === 'nothing' || ignoredNow(state, meaning)) return 'ignored';
  if (meaning.is === 'command') {
    return certainty === 'unsure' && isGrave(meaning.command) ? 'ask' : 'command';
  }
  return meaning.questions.length > 0 || certainty === 'unsure' ? 'ask' : 'recorded';
}

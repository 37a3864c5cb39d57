import type { ReadonlySignal, Signal } from '@preact/signals';
import type { Dialogue, Strictness } from '../dialogue/index.ts';
import type { Finding, Gap, PlanItem } from '../exam/index.ts';
import type { Localization } from '../localize/index.ts';
import type { ModelList } from './models.ts';
import type { Records } from './records.ts';
import type { KeyState, TalkKey } from './talkKey.ts';

/** Why no sound comes in. The exam goes on: typing always works. */
export type Trouble =
  | 'denied'
  | 'no-device'
  | 'in-use'
  | 'unplugged'
  | 'suspended'
  | 'unsupported'
  | 'failed';

/** Where sound comes from now. */
export type Source =
  | { readonly is: 'none' }
  /** The browser asks the examiner for the microphone. */
  | { readonly is: 'asking' }
  | { readonly is: 'microphone' }
  | { readonly is: 'recording'; readonly name: string }
  | { readonly is: 'lost'; readonly why: Trouble };

/** Whether speech can be understood at all. */
export type Engine =
  | { readonly is: 'loading' }
  | { readonly is: 'ready' }
  /** In one line: what is wrong and what to do. */
  | { readonly is: 'missing'; readonly fault: string };

/** An utterance as the page shows it. */
export interface Said {
  readonly typed: boolean;
  readonly heard: string;
  readonly outcome: 'recorded' | 'ask' | 'command' | 'ignored';
  readonly findings: readonly Finding[];
  readonly command: string | null;
  readonly readBack: string;
}

export const themes = ['auto', 'light', 'dark', 'contrast'] as const;
export type Theme = (typeof themes)[number];
export const voices = ['auto', 'embedded', 'silent'] as const;
export type VoiceChoice = (typeof voices)[number];

/** What the examiner chose and the browser remembers; nothing of any patient. */
export interface Settings {
  readonly theme: Theme;
  readonly voice: VoiceChoice;
  /** Pace of the voice against its own, 0.6 to 1.6. */
  readonly pace: number;
  /** 0 to 1. */
  readonly volume: number;
  readonly strictness: Strictness;
  /** Which findings are spoken back; all are shown, and questions are always asked aloud. */
  readonly aloud: Strictness;
  /** Who leads: the examiner in any order, or Plessor item by item along the plan. */
  readonly lead: 'examiner' | 'plessor';
  /** With headphones the program cannot hear itself, so it listens while it speaks. */
  readonly headphones: boolean;
  readonly earcons: boolean;
  /** With what the examiner says when to listen; by itself it always does. */
  readonly key: TalkKey;
  /** With which word everything said must begin to be taken, by its id; none where it is empty. */
  readonly attention: string;
  /** What the examiner's own plan asks for, by the ids of its items. */
  readonly own: readonly string[];
  /** Whether the program learns how the examiner speaks, and hears by what it learnt. */
  readonly learn: boolean;
}

/** Whether the page opens without a network. */
export type Offline =
  /** The browser does not keep it here. */
  | { readonly is: 'unable' }
  | { readonly is: 'fetching' }
  | { readonly is: 'kept'; readonly megabytes: number }
  /** A new version is here and starts when the page is next opened. */
  | { readonly is: 'updated' };

/** Something that can be said, and what it means; from the grammar. */
export interface Phrase {
  readonly words: string;
  readonly means: string;
  readonly group: string;
}

/** A word that calls for attention. */
export interface Call {
  /** By its tag in the grammar. */
  readonly id: string;
  readonly words: string;
}

/** A panel over the exam. */
export type PanelName =
  | 'none'
  | 'help'
  | 'settings'
  | 'new'
  | 'plan'
  | 'check'
  | 'models'
  | 'records'
  | 'compare'
  | 'review';

/** What was heard in a microphone check. */
export interface Checked {
  readonly heard: string;
  /** Empty where it was no finding. */
  readonly findings: readonly Finding[];
  readonly sure: boolean;
}

/** Everything the page shows. */
export interface Room {
  readonly source: ReadonlySignal<Source>;
  readonly engine: ReadonlySignal<Engine>;
  /** Loudness now, 0 to 1. */
  readonly level: ReadonlySignal<number>;
  /** Sound is on but has been as good as silent for long. */
  readonly deaf: ReadonlySignal<boolean>;
  /** Whether the examiner's key lets sound through, where there is one. */
  readonly key: ReadonlySignal<KeyState>;
  /** Words of the utterance in progress. */
  readonly partial: ReadonlySignal<readonly string[]>;
  /** What is being spoken now; an empty text when nothing is. */
  readonly speaking: ReadonlySignal<string>;
  readonly dialogue: ReadonlySignal<Dialogue>;
  readonly said: ReadonlySignal<readonly Said[]>;
  readonly left: ReadonlySignal<readonly Gap[]>;
  /** Of the record as it now stands; absent while it is computed and before the exam is complete. */
  readonly localization: ReadonlySignal<Localization | undefined>;
  readonly localizing: ReadonlySignal<boolean>;
  /** One line about something that went wrong and can be lived with. */
  readonly notice: ReadonlySignal<string>;
  readonly settings: Signal<Settings>;
  /** Which panel lies over the exam. */
  readonly panel: Signal<PanelName>;
  /** The record has grown since it was last saved or copied. */
  readonly unsaved: ReadonlySignal<boolean>;
  /** The examiner signed off, and nothing was changed since. */
  readonly signed: ReadonlySignal<boolean>;
  /** The latest utterance of a microphone check. */
  readonly checked: ReadonlySignal<Checked | undefined>;
  /** From how many replies it was learnt how the examiner speaks; 0 where nothing was. */
  readonly learnt: ReadonlySignal<number>;
  readonly offline: ReadonlySignal<Offline>;
  readonly models: ModelList;
  readonly records: Records;
  readonly phrases: () => readonly Phrase[];
  readonly calls: readonly Call[];
}

/** Everything the page can do. Whatever can be said is done by `say`, in the same words. */
export interface Acts {
  /** Opens the microphone, asking for it where needed. */
  listen(): void;
  /** Closes the microphone or the recording. */
  close(): void;
  hear(file: File): void;
  /** Plays an invented exam, and hears it. */
  demonstrate(): void;
  say(words: string): void;
  /** Speaks words as an example; nothing comes of them. */
  speak(words: string): void;
  /** Stops the voice. */
  hush(): void;
  /** Does what the examiner's key does: lets sound through, or no more. */
  turnKey(): void;
  /** Lets go of what was learnt of how the examiner speaks. */
  forgetVoice(): void;
  prompt(item: PlanItem | undefined): void;
  plan(id: string): void;
  /** Begins another exam; asks first where this one was not saved. */
  begin(): void;
  /** Begins another exam and lets go of this one. */
  beginAnyway(): void;
  save(paper: string): void;
  copyNote(): void;
}

import type { ReadonlySignal, Signal } from '@preact/signals';
import type { Dialogue, Strictness } from '../dialogue/index.ts';
import {
  type ExamMessages,
  examMessages,
  type Gap,
  openEntries,
  ownPlanId,
  planName,
  planOf,
  standingFindings,
} from '../exam/index.ts';
import { type Call, choicesNow, roomMessages, type Settings } from '../ui/index.ts';

export interface WishParts {
  /** What plans are called; in English unless told otherwise. */
  readonly names?: ExamMessages;
  readonly settings: Signal<Settings>;
  /** The words that may call for attention. */
  readonly calls: readonly Call[];
  readonly dialogue: ReadonlySignal<Dialogue>;
  readonly left: ReadonlySignal<readonly Gap[]>;
  /** The exam is not kept anywhere but in this page. */
  readonly unsaved: () => boolean;
  readonly plan: (id: string) => void;
  /** Opens a panel over the exam. */
  readonly show: (panel: 'plan' | 'check' | 'settings') => void;
  /** Lets go of what was learnt of the examiner's voice. */
  readonly forgetVoice: () => void;
  /** Says words as the examiner would. */
  readonly say: (words: string) => void;
  /** Begins another exam and lets go of this one. */
  readonly beginAnyway: () => void;
  readonly signed: (length: number) => void;
  readonly percent: (p: number) => string;
}

/** What the examiner asks of the room, by the commands of `room.jsgf`. */
export interface Wishes {
  /**
   * Grants a command; gives what is said back, or nothing where the command is not the room's. What
   * changes the exam is done once the utterance is over. Must be told of findings too, with an empty
   * command: they let go of what waits for a yes.
   */
  grant(command: string, sure: boolean): string | undefined;
}

const paces = { faster: 0.2, slower: -0.2 } as const;
/** What is confirmed or spoken, by the grammar's word for it. */
const strictnesses = { every: 'every', abnormal: 'costly', end: 'end' } as const;
const volumes = { louder: 0.2, softer: -0.2 } as const;

const within = (value: number, least: number, most: number): number =>
  Math.round(Math.min(most, Math.max(least, value)) * 10) / 10;

/** What is not done on a doubt. */
const weighs: ReadonlySet<string> = new Set([
  'sign-off',
  'next-patient',
  'learning-on',
  'learning-none',
]);

/** `all` has the word as a key. */
const has = <T extends object>(all: T, word: string): word is keyof T & string =>
  Object.hasOwn(all, word);

export function createWishes(parts: WishParts): Wishes {
  const { settings, dialogue, names = examMessages.en } = parts;
  const text = roomMessages;
  /** What the next "affirm" does; anything else said lets it go. */
  let pending: (() => void) | undefined;

  const set = (change: Partial<Settings>): void => {
    settings.value = { ...settings.peek(), ...change };
  };
  const later = queueMicrotask;

  function prompting(turn: string): string {
    const lead = turn === 'on' ? 'plessor' : 'examiner';
    later(() => set({ lead }));
    return text.lead[lead];
  }

  function plan(name: string): string {
    const { own } = settings.peek();
    if (name === 'own' && own.length === 0) {
      later(() => parts.show('plan'));
      return text.ownPlan.empty;
    }
    const wanted = planOf(name === 'own' ? ownPlanId(own) : name);
    if (wanted === undefined) return text.noPlan;
    later(() => parts.plan(wanted.id));
    return text.plan(planName(wanted.id, names));
  }

  function how(
    name: 'strictness' | 'aloud',
    word: string,
    told: Readonly<Record<Strictness, string>>,
  ): string | undefined {
    if (!has(strictnesses, word)) return undefined;
    set({ [name]: strictnesses[word] });
    return told[strictnesses[word]];
  }

  function voice(how: string): string | undefined {
    const { pace, volume } = settings.peek();
    if (how === 'on' || how === 'off') {
      set(how === 'off' ? { voice: 'silent' } : { voice: 'auto', volume: volume || 1 });
      return how === 'off' ? text.voiceOff : text.voiceOn;
    }
    if (has(paces, how)) {
      set({ pace: within(pace + paces[how], 0.6, 1.6) });
      return text.pace(parts.percent(settings.peek().pace));
    }
    if (!has(volumes, how)) return undefined;
    // Softer is not silent: that has words of its own.
    set({ volume: within(volume + volumes[how], 0.2, 1) });
    return text.volume(parts.percent(settings.peek().volume));
  }

  function learning(turn: string): string {
    if (turn === 'none') later(parts.forgetVoice);
    else later(() => set({ learn: turn === 'on' }));
    return turn === 'none' ? text.learning.forgotten : text.learning[turn === 'on' ? 'on' : 'off'];
  }

  function attention(id: string): string {
    const call = parts.calls.find((one) => one.id === id);
    later(() => set({ attention: call?.id ?? '' }));
    return call === undefined ? text.attention.off : text.attention.on(call.words);
  }

  function key(turn: string): string {
    const { key: now } = settings.peek();
    // Without a key nobody could be heard any more.
    if (turn === 'on' && now.code === '') {
      later(() => parts.show('settings'));
      return text.key.chooseFirst;
    }
    const use = turn === 'off' ? 'none' : now.use === 'none' ? 'held' : now.use;
    later(() => set({ key: { ...now, use } }));
    return use === 'none' ? text.key.off : text.key.told[use](now.name);
  }

  function choose(number: string): string {
    const choice = choicesNow(dialogue.peek())[Number(number) - 1];
    if (choice === undefined) return text.noChoice(number);
    later(() => parts.say(choice.words));
    return '';
  }

  function where(): string {
    const { record } = dialogue.peek();
    return text.where({
      plan: planName(record.plan, names),
      leads: settings.peek().lead === 'plessor',
      left: parts.left.peek().length,
      open: openEntries(record).length,
    });
  }

  /** Signs what stands: first the exam is called complete, which reads back what is open. */
  function signOff(): string {
    const { record, asked, mode } = dialogue.peek();
    if (record.entries.length === 0) return text.nothingToSign;
    // A finding after the end opens it again: nothing is signed that was not read back.
    const unread = openEntries(record).length > 0 && mode !== 'closing';
    if (!record.complete || unread) {
      later(() => parts.say('exam complete'));
      return text.completeFirst;
    }
    if (asked.length > 0) return text.answerFirst;
    later(() => {
      if (openEntries(dialogue.peek().record).length > 0) parts.say('affirm');
      parts.signed(dialogue.peek().record.events.length);
    });
    return text.signed(standingFindings(record).length);
  }

  function next(): string {
    const { record } = dialogue.peek();
    const begin = (): void => later(parts.beginAnyway);
    const empty = record.entries.length === 0;
    if (!empty && (!record.complete || parts.unsaved())) {
      pending = begin;
      return record.complete ? text.nextUnsaved : text.nextUnfinished;
    }
    begin();
    return text.next;
  }

  return {
    grant(command, sure) {
      const weighty = weighs.has(command);
      if (!sure && (weighty || (pending !== undefined && command === 'confirm'))) {
        return text.sayAgain;
      }
      const waiting = pending;
      pending = undefined;
      if (waiting !== undefined && command === 'confirm') {
        waiting();
        return text.next;
      }
      if (waiting !== undefined && command === 'reject') return text.stays;
      const [name = '', ...rest] = command.split('-');
      const value = rest.join('-');
      switch (name) {
        case 'prompting':
          return prompting(value);
        case 'plan':
          return plan(value);
        case 'confirm':
          return how('strictness', value, text.confirming);
        case 'speak':
          return how('aloud', value, text.aloud);
        case 'voice':
          return voice(value);
        case 'learning':
          return learning(value);
        case 'attention':
          return attention(value);
        case 'key':
          return key(value);
        case 'choice':
          return choose(value);
        case 'where':
          return where();
        case 'make':
          later(() => parts.show('plan'));
          return '';
        case 'microphone':
          later(() => parts.show('check'));
          return '';
        default:
          if (command === 'sign-off') return signOff();
          return command === 'next-patient' ? next() : undefined;
      }
    },
  };
}

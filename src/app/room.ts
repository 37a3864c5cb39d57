import { computed, effect, signal } from '@preact/signals';
import { type EntryId, type Ms, planName } from '../exam/index.ts';
import type { Language } from '../interpret/index.ts';
import type { Fitting, Microphone, Sound, Voice } from '../ports.ts';
import type { ExamBundle, Paper } from '../report/index.ts';
import {
  type Acts,
  late,
  type Messages,
  type ModelList,
  type PanelName,
  type Room,
  recordsMessages,
  roomMessages,
  type Settings,
} from '../ui/index.ts';
import { createCheck } from './check.ts';
import type { Earcon } from './earcon.ts';
import { createExam, type Exam } from './exam.ts';
import { lineOf } from './fault.ts';
import type { Learning, LearningParts } from './learning.ts';
import { createListening, type Hearer } from './listening.ts';
import type { Localizer } from './localizer.ts';
import { mark } from './mark.ts';
import { createMouth, type Mouth } from './mouth.ts';
import { createOwnVoice } from './ownVoice.ts';
import { callsOf, phrasesOf } from './phrases.ts';
import { createRecords, type RecordsParts, type SendBundle } from './records.ts';
import type { Keeper } from './recordsKeeper.ts';
import type { HeardWords } from './session.ts';
import { loadFit, loadSettings, storeFit, storeSettings } from './settings.ts';
import { createKeySwitch, type KeySwitch } from './talkKey.ts';
import { createWishes } from './wish.ts';

/** What the room is built from; everything that touches the world comes in here. */
export interface RoomParts {
  readonly language: Language;
  readonly messages: Messages;
  readonly now: () => Ms;
  readonly microphone: Microphone;
  readonly voice: (settings: Settings) => Promise<Voice | undefined>;
  readonly earcon: (name: Earcon, settings: Settings) => void;
  /** Loads the recogniser and makes an ear of it. */
  readonly ear: (on: {
    readonly context: () => Exam['session']['context'];
    readonly keepSound: () => boolean;
    readonly began: () => void;
    readonly partial: (words: readonly string[]) => void;
    readonly utterance: (heard: HeardWords) => void;
    readonly missed: () => void;
    readonly failed: (why: unknown) => void;
  }) => Promise<Hearer>;
  /** With what it learns how the examiner speaks; `fitting` is of the recogniser loaded last. */
  readonly learning: Pick<LearningParts, 'render' | 'idle'> & {
    readonly fitting: () => Fitting | undefined;
  };
  /** What can hear; `renewed` is to be called when another one was chosen. */
  readonly models: (renewed: () => void) => ModelList;
  readonly read: (file: Blob) => AsyncIterable<Sound>;
  readonly localizer: Localizer;
  /** An invented exam, to be played and heard. */
  readonly demo: () => Promise<{
    readonly title: string;
    play(mouth: Mouth, signal: AbortSignal): AsyncIterable<Sound>;
  }>;
  readonly records: Pick<RecordsParts, 'vault' | 'persist' | 'play'> & {
    readonly send: SendBundle<ExamBundle>;
    readonly keeper: Keeper;
    /** One of its own for reviews: it answers the latest request only. */
    readonly localizer: Localizer;
    /** Prints a document. */
    readonly print: (html: string) => Promise<void>;
    readonly save: (name: string, content: Uint8Array<ArrayBuffer>) => void;
  };
  readonly save: (paper: Paper) => void;
  readonly copy: (text: string) => Promise<void>;
  readonly store: Storage;
  /** Calls `again` when a lost microphone may be back; gives what ends that. */
  readonly regain?: (again: () => void) => () => void;
  /** Whether the page opens without a network. */
  readonly offline: Room['offline'];
}

/** Words in progress are shown anew no more often than this, in ms. */
const partialMs = 100;

const papers = late(() => import('./papers.ts'));
const lessons = late(() => import('./learning.ts'));

/** Puts the exam, the ear, the mouth and the page together. */
export function createRoom(parts: RoomParts): {
  readonly room: Room;
  readonly acts: Acts;
  /** A sign of the examiner: the records stay open. */
  readonly touch: () => void;
  /** Takes the examiner's key. */
  readonly key: KeySwitch;
  /** To be called every few seconds. */
  readonly tick: () => void;
  /** Shows a line about something that went wrong and can be lived with. */
  readonly tell: (line: string) => void;
} {
  const { language, messages } = parts;
  const settings = signal(loadSettings(parts.store));
  const calls = callsOf(language);
  const panel = signal<PanelName>('none');
  const partial = signal<readonly string[]>([]);
  const speaking = signal('');
  const notice = signal('');
  /** How long the record was when it was signed off. */
  const signedAt = signal(0);
  const saved = signal(0);
  const learnt = signal(loadFit(parts.store)?.replies ?? 0);
  let learning: Learning | undefined;
  let demonstrating = false;
  let shownAt = 0;

  const ownVoice = createOwnVoice(language.words, () => performance.now());
  const mouth = createMouth({
    // A recording is heard faster than it could be answered: its read-backs are only shown.
    voice: async () =>
      listening.source.peek().is === 'recording' && !demonstrating
        ? undefined
        : parts.voice(settings.peek()),
    halfDuplex: () => !settings.peek().headphones && !demonstrating,
    mute: (muted) => listening.mute(muted),
    speaking: (text) => {
      speaking.value = text;
      ownVoice.speaking(text);
      listening.speaking(text !== '');
    },
  });
  const exam = createExam({
    language,
    messages: messages.dialogue,
    now: parts.now,
    mouth,
    settings,
    keep: (id, event) => {
      learning?.kept(id, event);
      return parts.records.keeper.keep(id, event);
    },
    records: (act) => records.act(act),
    localizer: parts.localizer,
    notice: (line) => {
      notice.value = line;
    },
    planDone: messages.text.planDone,
    watchText: ({ id, repeatMin = 0 }) =>
      roomMessages.again(planName(id, messages.names), messages.count(repeatMin)),
    help: () => {
      panel.value = 'help';
    },
    question: () => parts.earcon('question', settings.peek()),
    recorded: () => parts.earcon('recorded', settings.peek()),
    wish: (command, sure) => wishes.grant(command, sure),
  });
  const check = createCheck({
    language,
    messages: messages.dialogue,
    say: (text) => mouth.say(text),
  });
  const listening = createListening({
    microphone: parts.microphone,
    read: parts.read,
    ear: () =>
      parts.ear({
        context: () => ({
          ...exam.session.context,
          reviewing: panel.peek() === 'review',
        }),
        keepSound: () => records.records.consent.peek(),
        began: () => ownVoice.began(),
        partial: (words) => {
          if (words.join(' ') === partial.peek().join(' ')) return;
          const first = partial.peek().length === 0;
          if (first) mark('partial');
          const at = performance.now();
          // What flickers faster than this cannot be read; first words, and that it was none, wait for nothing.
          if (first || words.length === 0 || at - shownAt >= partialMs) {
            shownAt = at;
            partial.value = words;
          }
          // So does a voice too soft for `talkedOver`; without headphones the ear is shut by then.
          if (words.length > 0 && settings.peek().headphones) mouth.hush();
        },
        utterance: (all) => {
          const own = ownVoice.is(all.words);
          const heard = own ? { ...all, certainty: 'foreign' as const } : all;
          partial.value = [];
          mark('understood');
          // Nothing was said after all: a noise, a cough.
          if (heard.words.length === 0) return;
          if (notice.peek() === messages.text.saidOver) notice.value = '';
          records.touch();
          if (panel.peek() === 'check') {
            if (check.hear(heard) === 'over') panel.value = 'none';
            return;
          }
          if (panel.peek() === 'review' && records.reviewed(heard)) return;
          const before = exam.session.state.record.events.length;
          const shown = panel.peek();
          // What is understood must be seen, unless it opens a panel itself.
          panel.value = 'none';
          const { outcome } = exam.hear(heard);
          // Talk closes nothing that a hand is busy with.
          if (outcome === 'ignored') panel.value = shown;
          records.heard(heard, before);
          // A recording may be of anybody.
          if (outcome === 'recorded' && listening.source.peek().is === 'microphone') {
            learning?.heard(exam.id.peek(), heard.words, recordedSince(before));
          }
        },
        missed: () => {
          notice.value = messages.text.saidOver;
          void mouth.quiet().then(() => parts.earcon('question', settings.peek()));
        },
        failed: (why) => {
          mark('failed');
          partial.value = [];
          notice.value = lineOf(why);
        },
      }),
    notice: (line) => {
      notice.value = line;
    },
    opened: () => parts.earcon('listening', settings.peek()),
    lost: () => parts.earcon('shut', settings.peek()),
    talkedOver: () => {
      mouth.hush();
      // With headphones the ear is open.
      if (!settings.peek().headphones) notice.value = messages.text.saidOver;
    },
    ...(parts.regain === undefined ? {} : { regain: parts.regain }),
  });

  const told = (why: unknown): void => {
    notice.value = lineOf(why);
  };
  /** Entries that are read back and were recorded since the record was so long. */
  const recordedSince = (length: number): readonly EntryId[] => {
    const { events, entries } = exam.session.state.record;
    const fresh = events.slice(length);
    return entries.flatMap(({ id, standing }) => {
      const own = fresh.some((event) => 'entry' in event && event.entry === id);
      return own && standing.is === 'open' ? [id] : [];
    });
  };
  const learns = computed(() => settings.value.learn);
  let heardBy: Fitting | undefined;
  effect(() => {
    const loaded = listening.engine.value.is === 'ready' ? parts.learning.fitting() : undefined;
    learning?.stop();
    learning = undefined;
    if (!learns.value) {
      void heardBy?.use(undefined).catch(() => undefined);
      heardBy = undefined;
      return;
    }
    heardBy = loaded;
    if (loaded === undefined) return;
    lessons
      .get()
      .then(({ createLearning }) => {
        if (heardBy !== loaded) return;
        learning = createLearning({
          ...parts.learning,
          fitting: loaded,
          store: parts.store,
          learnt: (replies) => {
            learnt.value = replies;
          },
        });
      })
      .catch(told);
  });

  const key = createKeySwitch({
    settings,
    gate: (open) => listening.gate(open),
    pressed: () => mouth.hush(),
  });
  effect(() => {
    if (panel.value === 'check') check.begin();
  });
  effect(() => storeSettings(parts.store, settings.value));
  effect(() => {
    document.documentElement.dataset.theme = settings.value.theme;
  });
  effect(() => {
    void settings.value.strictness;
    exam.strict();
  });
  // A recording was made by someone who may not have known of the word.
  const calledBy = computed(() =>
    listening.source.value.is === 'microphone'
      ? calls.find(({ id }) => id === settings.value.attention)?.id
      : undefined,
  );
  effect(() => exam.attend(calledBy.value));
  let leader = settings.peek().lead;
  effect(() => {
    const { lead } = settings.value;
    if (lead === leader) return;
    leader = lead;
    exam.lead();
  });

  /** The exam as it now is was saved; to be called when that is done, by when another may have begun. */
  const saving = (): (() => void) => {
    const id = exam.id.peek();
    const { length } = exam.dialogue.peek().record.events;
    return () => {
      if (exam.id.peek() === id) saved.value = length;
    };
  };
  const beginAnyway = (): void => {
    panel.value = 'none';
    saved.value = 0;
    signedAt.value = 0;
    records.begin();
  };
  const unsaved = computed(() => {
    const { events, entries } = exam.dialogue.value.record;
    const kept = parts.records.keeper.keeping.value.is === 'kept';
    return entries.length > 0 && events.length > saved.value && !kept;
  });
  const forgetVoice = (): void => {
    storeFit(parts.store, undefined);
    learnt.value = 0;
    parts.learning
      .fitting()
      ?.forget()
      .catch(() => undefined);
  };
  const wishes = createWishes({
    names: messages.names,
    settings,
    calls,
    dialogue: exam.dialogue,
    left: exam.left,
    unsaved: () => unsaved.peek(),
    plan: (id) => exam.plan(id),
    show: (name) => {
      panel.value = name;
    },
    say: (words) => exam.type(words),
    forgetVoice,
    beginAnyway,
    signed: (length) => {
      signedAt.value = length;
    },
    percent: messages.percent,
  });
  const copyNote = (): void => {
    const report = records.report();
    const mark = saving();
    papers
      .get()
      .then(({ noteOf }) => {
        parts.copy(noteOf(report, messages.language)).then(
          () => {
            notice.value = messages.text.copied;
            mark();
          },
          () => {
            notice.value = messages.text.copyFailed;
          },
        );
      })
      .catch(told);
  };
  const records = createRecords({
    ...parts.records,
    language,
    messages,
    exam,
    panel,
    now: parts.now,
    say: (text) => mouth.say(text),
    unsaved: () => unsaved.peek(),
    send: async (server, report, on) =>
      parts.records.send(server, (await papers.get()).bundleOf(report, messages.language), on),
    print: async (report) => {
      const mark = saving();
      await parts.records.print((await papers.get()).printOf(report, messages.language));
      mark();
    },
    copyNote,
  });

  // Said once, and shown where the examiner looks; the exam goes on.
  let failing = false;
  effect(() => {
    const now = parts.records.keeper.keeping.value;
    if (now.is === 'failing') notice.value = `${recordsMessages.failing} ${now.line}`;
    else if (failing) notice.value = '';
    if (now.is === 'failing' && !failing) mouth.say(recordsMessages.failing);
    failing = now.is === 'failing';
  });

  /** Gets the voice ready on a press, so that the first read-back does not wait for it. */
  const warm = (): void => {
    parts.voice(settings.peek()).catch(() => undefined);
  };

  const room: Room = {
    source: listening.source,
    engine: listening.engine,
    level: listening.level,
    deaf: listening.deaf,
    key: key.state,
    partial,
    speaking,
    dialogue: exam.dialogue,
    said: exam.said,
    left: exam.left,
    localization: exam.localization,
    localizing: exam.localizing,
    notice,
    settings,
    panel,
    unsaved,
    checked: check.heard,
    learnt,
    offline: parts.offline,
    signed: computed(() => {
      const { length } = exam.dialogue.value.record.events;
      return signedAt.value > 0 && signedAt.value === length;
    }),
    models: parts.models(() => void listening.renew()),
    records: records.records,
    phrases: () => phrasesOf(language, messages),
    calls,
  };
  const acts: Acts = {
    listen: () => {
      warm();
      void listening.listen();
    },
    close: () => void listening.close(),
    hear: (file) => {
      const before = exam.said.peek().length;
      void listening.hear(file).then(() => {
        const nothing = exam.said.peek().length === before && notice.peek() === '';
        if (nothing) notice.value = `${file.name}: ${messages.text.noSpeech}`;
      });
    },
    demonstrate: () => {
      warm();
      parts
        .demo()
        .then((demo) => {
          demonstrating = true;
          void listening
            .follow(demo.title, (signal) => demo.play(mouth, signal))
            .finally(() => {
              demonstrating = false;
            });
        })
        .catch(told);
    },
    say: (words) => {
      records.touch();
      exam.type(words);
    },
    speak: (words) => mouth.say(words),
    hush: () => mouth.hush(),
    turnKey: () => key.turn(),
    forgetVoice,
    prompt: (item) => exam.prompt(item),
    plan: (id) => exam.plan(id),
    begin: () => {
      if (unsaved.peek()) panel.value = 'new';
      else beginAnyway();
    },
    beginAnyway,
    save: (name) => {
      const report = records.report();
      const mark = saving();
      papers
        .get()
        .then(({ papersWithDrawings }) => {
          const paper = papersWithDrawings(report, messages.language).find(
            (one) => one.name === name,
          );
          if (paper === undefined) return;
          parts.save(paper);
          mark();
        })
        .catch(told);
    },
    copyNote,
  };
  void listening.load();
  const tell = (line: string): void => {
    notice.value = line;
  };
  return { room, acts, touch: records.touch, key, tick: exam.tick, tell };
}

import { computed, type ReadonlySignal, signal } from '@preact/signals';
import {
  closesByGoingOn,
  type Dialogue,
  type DialogueMessages,
  dialogueMessages,
  promptText,
  type RecordsAct,
  start,
} from '../dialogue/index.ts';
import {
  type ExamEvent,
  type ExamPlan,
  type ExamRecord,
  type Finding,
  type Gap,
  gaps,
  gapsOf,
  type Ms,
  ms,
  type PlanItem,
  planName,
  planOf,
  standingFindings,
} from '../exam/index.ts';
import type { Language } from '../interpret/index.ts';
import type { Localization } from '../localize/index.ts';
import type { Report } from '../report/index.ts';
import type { Said, Settings } from '../ui/index.ts';
import { lineOf } from './fault.ts';
import { answered, itemId, nextItem } from './lead.ts';
import type { Localizer } from './localizer.ts';
import type { Mouth } from './mouth.ts';
import { createSession, type HeardWords, type Session, type Utterance } from './session.ts';

export interface ExamParts {
  readonly language: Language;
  /** What is said back; English unless told otherwise. */
  readonly messages?: DialogueMessages;
  readonly now: () => Ms;
  readonly mouth: Mouth;
  readonly settings: ReadonlySignal<Settings>;
  readonly help: () => void;
  readonly question: () => void;
  /** A finding was recorded and is shown, not spoken. */
  readonly recorded?: () => void;
  /** Does what is asked of the room; gives what is said back, or nothing where it is not. */
  readonly wish?: (command: string, sure: boolean) => string | undefined;
  /**
   * Keeps an event; gives a promise that settles once it is on disk or known not to be, or nothing
   * where there is no disk. What is said back of it waits for that.
   */
  readonly keep: (exam: string, event: ExamEvent) => Promise<void> | undefined;
  /** Does what was asked of the records. */
  readonly records: (act: RecordsAct) => void;
  readonly localizer: Localizer;
  /** Takes a line about what went wrong. */
  readonly notice: (line: string) => void;
  /** What is said when Plessor leads and nothing of the plan is left. */
  readonly planDone: string;
  /** What is said when a watch is due again. */
  readonly watchText?: (plan: ExamPlan) => string;
}

/** An exam as it was kept, to be gone on with. */
export interface TakenExam {
  readonly id: string;
  readonly record: ExamRecord;
  /** ISO 8601; absent where it is not known. */
  readonly startedAt: string | undefined;
}

/** One exam after another, as signals the page reads. */
export interface Exam {
  readonly dialogue: ReadonlySignal<Dialogue>;
  readonly said: ReadonlySignal<readonly Said[]>;
  readonly left: ReadonlySignal<readonly Gap[]>;
  readonly localization: ReadonlySignal<Localization | undefined>;
  /** Where the lesion may be is being computed. */
  readonly localizing: ReadonlySignal<boolean>;
  readonly session: Session;
  /** Id of the exam, random and never reused. */
  readonly id: ReadonlySignal<string>;
  hear(heard: HeardWords): Utterance;
  type(words: string): void;
  prompt(item: PlanItem | undefined): void;
  plan(id: string): void;
  begin(): void;
  /** Goes on with an exam that was kept. */
  take(kept: TakenExam): void;
  /** Looks again at who leads. */
  lead(): void;
  /** Takes the examiner's wishes on confirming anew. */
  strict(): void;
  /** The word that must call for attention from now on, where one must. */
  attend(word: string | undefined): void;
  /** To be called every few seconds: a watch is asked for again by the clock. */
  tick(): void;
  report(): Report;
}

const version = '0.1.0';

export function createExam(parts: ExamParts): Exam {
  const { language, messages = dialogueMessages.en, now, mouth, settings } = parts;
  const dialogue = signal<Dialogue>(start);
  const said = signal<readonly Said[]>([]);
  const localization = signal<Localization | undefined>(undefined);
  const localizing = signal(false);
  /** The findings that the shown localization is of. */
  let localized: readonly Finding[] = [];
  /** The exam was called complete once; from then on the summary is kept up. */
  let completed = false;
  const left = computed(() => gapsOf(dialogue.value.record));

  const id = signal('');
  let startedAt: string | undefined;
  /** The latest time given to an event: a clock that is set back must not put a later one before it. */
  let latest = 0;
  let keeping: Promise<unknown> | undefined;
  let attention: string | undefined;
  let session = fresh();
  /** An item that the examiner asked for on its own, and the length of the record then. */
  let wanted: { readonly item: PlanItem; readonly from: number } | undefined;
  let skipped = new Set<string>();
  /** What the clock has asked for again, and the length of the record then. */
  let round: { readonly items: readonly PlanItem[]; readonly from: number } | undefined;

  function stamp(): Ms {
    latest = Math.max(now(), latest + 1);
    return ms(latest);
  }
  function keep(event: ExamEvent): void {
    const mine = parts.keep(id.peek(), event);
    if (mine === undefined) return;
    const all: Promise<unknown> = Promise.all([keeping, mine]).finally(() => {
      if (keeping === all) keeping = undefined;
    });
    keeping = all;
  }
  /** What is said back, aloud or in writing, begins only once the finding is kept. */
  function whenKept(then: () => void): void {
    if (keeping === undefined) then();
    else void keeping.then(then);
  }
  function fresh(): Session {
    const own: Session = createSession({
      language,
      messages,
      now: stamp,
      say: (text, as) => {
        whenKept(() => {
          if (own !== session) return;
          if (as === 'question') parts.question();
          if (as === 'read-back' && !aloud(own)) parts.recorded?.();
          else mouth.say(text);
        });
      },
      hush: () => mouth.hush(),
      keep,
      help: parts.help,
      records: parts.records,
      ...(parts.wish === undefined ? {} : { room: parts.wish }),
      changed: (changed) => {
        if (own === session) show(changed);
      },
    });
    own.strict(settings.peek().strictness);
    own.attend(attention);
    return own;
  }
  /** Whether what was just recorded is to be spoken, by the examiner's wish. */
  function aloud({ state: { record, readBack } }: Session): boolean {
    const wish = settings.peek().aloud;
    if (wish === 'every' || readBack.length === 0) return true;
    const entries = record.entries.filter(({ id }) => readBack.includes(id));
    return wish === 'costly' && entries.some((entry) => !closesByGoingOn(record, entry, wish));
  }
  function show(changed: Session): void {
    dialogue.value = changed.state;
    const { utterances } = changed;
    whenKept(() => {
      if (changed !== session) return;
      said.value = utterances.map((one) => ({ ...one, typed: one.endMs === 0 }));
    });
    const { record } = changed.state;
    completed ||= record.complete;
    // Fetched with the first finding, so that the summary does not wait for it.
    if (record.entries.length > 0) parts.localizer.prepare();
    if (completed) localizeAnew(standingFindings(record));
  }

  /** Keeps the summary up with the record; what was computed of an older record is not shown. */
  function localizeAnew(findings: readonly Finding[]): void {
    const same = (finding: Finding, i: number): boolean => finding === localized[i];
    if (localizing.peek() || localization.peek() !== undefined) {
      if (findings.length === localized.length && findings.every(same)) return;
    }
    localized = findings;
    localizing.value = true;
    localization.value = undefined;
    parts.localizer
      .localize(findings)
      .then(
        (found) => {
          if (localized === findings) localization.value = found;
        },
        (why: unknown) => parts.notice(lineOf(why)),
      )
      .finally(() => {
        if (localized === findings) localizing.value = false;
      });
  }

  function clear(): void {
    mouth.hush();
    keeping = undefined;
    wanted = undefined;
    round = undefined;
    skipped = new Set();
    localized = [];
    completed = false;
    localization.value = undefined;
    localizing.value = false;
    session = fresh();
  }
  function begin(): void {
    const plan = dialogue.peek().record.plan;
    clear();
    id.value = crypto.randomUUID();
    latest = 0;
    startedAt = new Date(now()).toISOString();
    session.begin(plan);
    lead();
  }
  function take(kept: TakenExam): void {
    clear();
    id.value = kept.id;
    latest = Math.max(0, ...kept.record.events.map(({ at }) => at));
    startedAt = kept.startedAt;
    session.resume(kept.record);
    lead();
  }

  /** Asks for what comes next, where Plessor leads or one item was wanted. */
  function lead(): void {
    const { state } = session;
    const { record } = state;
    if (wanted !== undefined) {
      const done = state.expected === undefined || answered(record, wanted.item, wanted.from);
      if (done) wanted = undefined;
    }
    const due = record.complete
      ? undefined
      : round?.items.find(
          (item) => !skipped.has(itemId(item)) && !answered(record, item, round?.from ?? 0),
        );
    if (due === undefined) round = undefined;
    const leads = settings.peek().lead === 'plessor' && !record.complete;
    const next =
      wanted?.item ?? due ?? (leads ? nextItem(record, skipped, state.expected) : undefined);
    const before = state.expected;
    if (next === undefined) {
      if (before !== undefined) session.prompt(undefined);
      if (before !== undefined && leads) mouth.say(parts.planDone);
      return;
    }
    if (before !== undefined && itemId(before) === itemId(next)) return;
    ask(next);
  }
  function ask({ kind, site, modality }: PlanItem): void {
    const item = { kind, site, ...(modality === undefined ? {} : { modality }) };
    session.prompt(item);
    mouth.say(promptText(item, messages));
  }

  /** Looks at the clock: what a watch asks for again is prompted, whoever leads. */
  function tick(): void {
    const { record, mode, asked } = session.state;
    const plan = planOf(record.plan);
    if (plan?.repeatMin === undefined || round !== undefined || mode !== 'listening') return;
    if (record.complete || asked.length > 0 || gaps(record, plan).length > 0) return;
    const told = ['recorded', 'corrected', 'confirmed'];
    const last = record.events.findLast(({ type }) => told.includes(type))?.at;
    if (last === undefined || now() - last < plan.repeatMin * 60_000) return;
    round = { items: plan.items, from: record.events.length };
    skipped = new Set();
    parts.question();
    mouth.say(parts.watchText?.(plan) ?? planName(plan.id, messages.names));
    lead();
  }

  /** Takes what an utterance changed of the prompt: a skipped item is not asked for again. */
  function after(expected: PlanItem | undefined): void {
    if (expected !== undefined && session.state.expected === undefined) {
      skipped.add(itemId(expected));
    }
    // A question about what was said comes first.
    if (session.state.asked.length === 0 && session.state.mode === 'listening') lead();
  }

  const exam: Exam = {
    dialogue,
    said,
    left,
    localization,
    localizing,
    id,
    get session() {
      return session;
    },
    hear(heard) {
      const { expected } = session.state;
      const utterance = session.hear(heard);
      after(expected);
      return utterance;
    },
    type(text) {
      const { expected } = session.state;
      session.type(text);
      after(expected);
    },
    prompt(item) {
      wanted = item && { item, from: session.state.record.events.length };
      if (item === undefined) lead();
      else ask(item);
    },
    plan(plan) {
      session.begin(plan);
      skipped = new Set();
      lead();
    },
    begin,
    take,
    lead,
    tick,
    strict: () => session.strict(settings.peek().strictness),
    attend(word) {
      attention = word;
      session.attend(word);
      dialogue.value = session.state;
    },
    report: () => {
      const found = localization.peek();
      return {
        exam: id.peek(),
        record: session.state.record,
        notExamined: session.notExamined(),
        version,
        ...(startedAt === undefined ? {} : { startedAt }),
        ...(found === undefined ? {} : { localization: found }),
      };
    },
  };
  begin();
  return exam;
}

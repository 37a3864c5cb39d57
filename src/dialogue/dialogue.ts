import {
  append,
  type EntryId,
  type ExamEvent,
  type ExamRecord,
  type Finding,
  findingName,
  gapName,
  gapsOf,
  type Hearing,
  type ItemKey,
  itemKey,
  lastUndoable,
  type Ms,
  openEntries,
  spoken,
  standingFindings,
  stands,
} from '../exam/index.ts';
import { type Command, type Interpretation, isGrave } from '../interpret/index.ts';
import { dialogueEnglish } from './english.ts';
import type { DialogueMessages, DialogueText } from './messages.ts';
import { questionText, readBackText } from './phrase.ts';
import { closesByGoingOn, recordFindings } from './recording.ts';
import type { Asked, Dialogue, DialogueEvent, Effect, SaidAs, Step } from './state.ts';

/**
 * The whole conversation as a pure step. Said, read back from the record, closed by the examiner;
 * nothing that is not confirmed hides, and nothing is recorded that was not understood.
 */
export function step(
  state: Dialogue,
  event: DialogueEvent,
  messages: DialogueMessages = dialogueEnglish,
): Step {
  return worded(taken(state, event), messages);
}

/** A step before its words are put into a language. */
interface Move {
  readonly state: Dialogue;
  readonly effects: readonly (Exclude<Effect, { type: 'say' }> | Saying)[];
}

/** What is to be said, in whatever language. */
interface Saying {
  readonly type: 'say';
  readonly text: Wording;
  readonly as: SaidAs;
}

type Wording = (messages: DialogueMessages) => string;

function worded({ state, effects }: Move, messages: DialogueMessages): Step {
  const told = effects.map(
    (effect): Effect =>
      effect.type === 'say' ? { ...effect, text: effect.text(messages) } : effect,
  );
  const last = told.findLast((effect) => effect.type === 'say');
  return { state: last === undefined ? state : { ...state, lastSaid: last.text }, effects: told };
}

function taken(state: Dialogue, event: DialogueEvent): Move {
  switch (event.type) {
    case 'began':
      return keep(
        { ...state, leftNamed: false },
        { type: 'started', at: event.at, plan: event.plan },
      );
    case 'resumed':
      return { state: { ...state, record: event.record }, effects: [] };
    case 'prompted':
      return { state: { ...state, expected: event.item }, effects: [] };
    case 'strictness':
      return { state: { ...state, strictness: event.strictness }, effects: [] };
    case 'attention':
      return { state: { ...state, attention: event.word }, effects: [] };
    case 'heard':
      return hear(state, event);
    default:
      return event satisfies never;
  }
}

type Heard = Extract<DialogueEvent, { type: 'heard' }>;

function hear(state: Dialogue, { at, hearing, meaning, certainty }: Heard): Move {
  if (state.mode === 'paused' && !(meaning.is === 'command' && meaning.command === 'go-on')) {
    return { state, effects: [] };
  }
  switch (meaning.is) {
    case 'nothing':
      return { state, effects: [] };
    case 'command':
      return certainty === 'unsure' && isGrave(meaning.command)
        ? say({ state, effects: [] }, line('sayThatAgain'), 'answer')
        : obey(state, meaning.command, at);
    case 'findings': {
      const settled = settle(state, meaning);
      const questions: readonly Asked[] = meaning.questions.map((question) => ({
        is: 'slot',
        question,
        hearing,
      }));
      // A correction is of what was said last: of the open question, where there is one.
      const corrects = meaning.corrects && !questioned(state);
      const corrected = corrects ? state.readBack : [];
      if (certainty === 'unsure' && meaning.findings.length > 0) {
        const doubted = { findings: meaning.findings, corrects, hearing };
        return askNext(ahead(settled, [{ is: 'whether', doubted }, ...questions]));
      }
      const taken =
        meaning.findings.length === 0
          ? { state: settled, effects: [] }
          : take(settled, { ...meaning, corrected }, hearing, at);
      return chained(taken, (next) => askNext(ahead(next, questions)));
    }
    default:
      return meaning satisfies never;
  }
}

/**
 * What becomes of the open questions when findings come: the one that was answered is done, a
 * doubted finding said anew is done, and what the examiner went past waits for the end.
 */
function settle(state: Dialogue, meaning: Extract<Interpretation, { is: 'findings' }>): Dialogue {
  const [current, ...later] = state.asked;
  if (current === undefined) return state;
  const again = new Set(meaning.findings.map(itemKey));
  if (meaning.corrects && questioned(state)) {
    return { ...state, asked: [...uncorrected(current, again), ...later] };
  }
  const done =
    current.is === 'slot'
      ? meaning.answers
      : current.doubted.findings.every((finding) => again.has(itemKey(finding)));
  return done
    ? { ...state, asked: later }
    : { ...state, asked: [], deferred: [...state.deferred, ...state.asked] };
}

/** Something of an item was said and is asked about, so that a correction is of that. */
function questioned({ asked: [asked] }: Dialogue): boolean {
  return asked !== undefined && (asked.is === 'whether' || asked.question.draft.kind !== undefined);
}

/** What a correction leaves of a question: doubted findings of other items than the corrected. */
function uncorrected(asked: Asked, corrected: ReadonlySet<ItemKey>): readonly Asked[] {
  if (asked.is === 'slot') return [];
  const others = asked.doubted.findings.filter((finding) => !corrected.has(itemKey(finding)));
  // Where side or site was wrong, the corrected finding is another item: the last is what was meant.
  const all = others.length === asked.doubted.findings.length;
  const findings = all ? others.slice(0, -1) : others;
  return findings.length === 0 ? [] : [{ ...asked, doubted: { ...asked.doubted, findings } }];
}

const ahead = (state: Dialogue, questions: readonly Asked[]): Dialogue => ({
  ...state,
  asked: [...questions, ...state.asked],
});

interface Taken {
  readonly findings: readonly Finding[];
  readonly corrects: boolean;
  /** Entries that a correction takes the place of; none where what it corrects was not recorded. */
  readonly corrected: readonly EntryId[];
}

/** Records findings and reads them back; what was read back before is closed by going on. */
function take(
  state: Dialogue,
  { findings, corrects, corrected }: Taken,
  hearing: Hearing,
  at: Ms,
): Move {
  const passed = corrected.length > 0 ? { state, effects: [] } : goOn(state, at);
  return chained(passed, (next) => {
    const recorded = recordFindings(next.record, findings, hearing, at, corrected);
    const superseded = recorded.events.flatMap((event) =>
      event.type === 'corrected' && !corrects
        ? next.record.entries.filter((entry) => entry.id === event.supersedes)
        : [],
    );
    const was = superseded.map(({ finding }) => String(finding.value));
    return say(
      {
        state: { ...next, record: recorded.record, readBack: recorded.entries, mode: 'listening' },
        effects: recorded.events.map((event) => ({ type: 'keep', event }) as const),
      },
      (messages) => {
        const readBack = readBackText(findings, messages);
        const told = corrects ? messages.corrected(readBack) : readBack;
        return was.length === 0 ? told : `${told} ${spoken(messages.was(was), messages.names)}`;
      },
      'read-back',
    );
  });
}

/** Going on to the next finding closes the routine ones of the last read-back. */
function goOn(state: Dialogue, at: Ms): Move {
  const closing = openEntries(state.record).filter(
    (entry) =>
      state.readBack.includes(entry.id) && closesByGoingOn(state.record, entry, state.strictness),
  );
  return closing.length === 0 ? { state, effects: [] } : confirm(state, closing, 'implicit', at);
}

function confirm(
  state: Dialogue,
  entries: readonly { readonly id: EntryId }[],
  by: 'explicit' | 'implicit',
  at: Ms,
): Move {
  return keep(state, { type: 'confirmed', at, entries: entries.map(({ id }) => id), by });
}

function obey(state: Dialogue, command: Command, at: Ms): Move {
  const [asked, ...later] = state.asked;
  switch (command) {
    case 'confirm': {
      if (asked?.is === 'whether') {
        const { hearing, ...doubted } = asked.doubted;
        const corrected = doubted.corrects ? state.readBack : [];
        const taken = take({ ...state, asked: later }, { ...doubted, corrected }, hearing, at);
        return chained(taken, (next) => chained(confirmReadBack(next, at), askNext));
      }
      if (asked !== undefined) return askNext(state);
      return state.mode === 'closing' ? close(state, at) : confirmReadBack(state, at);
    }
    case 'reject': {
      if (asked !== undefined) {
        return chained(
          say({ state: { ...state, asked: later }, effects: [] }, line('notRecorded'), 'answer'),
          askNext,
        );
      }
      return withdraw(state, at, line('withdrawn'));
    }
    case 'disregard':
      if (asked !== undefined) {
        return say(
          { state: { ...state, asked: later }, effects: [] },
          line('disregarded'),
          'answer',
        );
      }
      return withdraw(state, at, line('disregarded'));
    case 'undo':
      return undo(state, at);
    case 'say-again':
      return say(
        { state, effects: [] },
        ({ text }) => state.lastSaid || text.nothingSaid,
        'answer',
      );
    case 'read-back':
      return say({ state, effects: [] }, recordText(state.record), 'answer');
    case 'pause':
      return say(
        { state: { ...state, mode: 'paused' }, effects: [] },
        line('standingBy'),
        'answer',
      );
    case 'go-on':
      return say(
        { state: { ...state, mode: 'listening' }, effects: [] },
        line('listening'),
        'answer',
      );
    case 'what-is-left':
      return say({ state, effects: [] }, leftText(state.record), 'answer');
    case 'help':
      return say({ state, effects: [{ type: 'help' }] }, line('help'), 'answer');
    case 'skip':
      // What was not examined is passed over; what is not confirmed is not.
      if (asked === undefined && state.mode === 'closing') return complete(state, at);
      return askNext({ ...state, asked: later, expected: undefined });
    case 'stop':
      return { state, effects: [{ type: 'hush' }] };
    case 'exam-complete':
      return complete(state, at);
    case 'compare':
    case 'show-records':
    case 'copy-note':
    case 'lock-records':
      return { state, effects: [{ type: 'records', act: command }] };
    default:
      return command satisfies never;
  }
}

function confirmReadBack(state: Dialogue, at: Ms): Move {
  const open = openEntries(state.record).filter((entry) => state.readBack.includes(entry.id));
  return open.length === 0 ? { state, effects: [] } : confirm(state, open, 'explicit', at);
}

function withdraw(state: Dialogue, at: Ms, text: Wording): Move {
  const standing = state.record.entries
    .filter((entry) => stands(entry) && state.readBack.includes(entry.id))
    .map((entry) => entry.id);
  if (standing.length === 0) {
    return say({ state, effects: [] }, line('nothingToTakeBack'), 'answer');
  }
  const withdrawn = keep(state, { type: 'withdrawn', at, entries: standing });
  return chained(withdrawn, (next) =>
    say({ state: { ...next, readBack: [] }, effects: [] }, text, 'answer'),
  );
}

/** Takes back the latest act, which may be several events: those that share its time. */
function undo(state: Dialogue, at: Ms): Move {
  const last = lastUndoable(state.record);
  const act = state.record.events[last];
  if (act === undefined) return say({ state, effects: [] }, line('nothingToUndo'), 'answer');
  let undone: Move = { state: { ...state, readBack: [], asked: [] }, effects: [] };
  for (let i = lastUndoable(undone.state.record); i >= 0; i = lastUndoable(undone.state.record)) {
    if (undone.state.record.events[i]?.at !== act.at) break;
    const event = i;
    undone = chained(undone, (next) => keep(next, { type: 'undone', at, event }));
  }
  const before = standingFindings(state.record);
  const after = standingFindings(undone.state.record);
  const gone = before.filter((finding) => !after.includes(finding));
  const back = after.filter((finding) => !before.includes(finding));
  const told: Wording = (messages) => {
    const { names } = messages;
    const named = (all: readonly Finding[]): readonly string[] =>
      all.map((finding) => findingName(finding, names));
    const parts = [
      ...(gone.length > 0 ? [messages.takenBack(named(gone))] : []),
      ...(back.length > 0 ? [messages.again(named(back))] : []),
    ];
    return parts.length === 0 ? messages.text.undone : spoken(parts.join(' '), names);
  };
  // What came back was read back, so a "yes" closes it.
  const readBack = undone.state.record.entries
    .filter((entry) => stands(entry) && back.includes(entry.finding))
    .map(({ id }) => id);
  return chained(undone, (next) =>
    say({ state: { ...next, readBack }, effects: [] }, told, 'read-back'),
  );
}

/**
 * The summary stands at once. What the plan asks for and was not examined is named the first time;
 * "skip", or completing again, passes it over. What is still open is read back once more, and a
 * "yes" then closes it. What stays open stays marked so.
 */
function complete(state: Dialogue, at: Ms): Move {
  return chained(goOn(state, at), (gone) =>
    chained(keep(gone, { type: 'completed', at }), (done) => {
      const open = openEntries(done.record);
      const asked = [...done.asked, ...done.deferred];
      const left = done.leftNamed ? undefined : notExamined(done.record);
      const ended: Move = {
        state: {
          ...done,
          mode: open.length > 0 || left !== undefined ? 'closing' : 'listening',
          expected: undefined,
          asked,
          deferred: [],
          leftNamed: true,
        },
        effects: [{ type: 'summarize' }],
      };
      const finished = left === undefined ? ended : say(ended, left, 'answer');
      if (asked.length > 0) return chained(finished, askNext);
      if (open.length === 0) {
        return left === undefined ? say(finished, line('complete'), 'answer') : finished;
      }
      const findings = open.map(({ finding }) => finding);
      return say(
        { ...finished, state: { ...finished.state, readBack: open.map(({ id }) => id) } },
        (messages) => messages.unconfirmed(readBackText(findings, messages)),
        'question',
      );
    }),
  );
}

function close(state: Dialogue, at: Ms): Move {
  const open = openEntries(state.record);
  if (open.length === 0) {
    return say({ state: { ...state, mode: 'listening' }, effects: [] }, line('complete'), 'answer');
  }
  const confirmed = confirm(state, open, 'explicit', at);
  return chained(confirmed, (next) =>
    say(
      { state: { ...next, mode: 'listening' }, effects: [] },
      line('confirmedComplete'),
      'answer',
    ),
  );
}

/** Asks what is first in line, where anything is. */
function askNext(state: Dialogue): Move {
  const [asked] = state.asked;
  if (asked === undefined) return { state, effects: [] };
  const question: Wording = (messages) =>
    asked.is === 'slot'
      ? questionText(asked.question, messages)
      : messages.didYouSay(readBackText(asked.doubted.findings, messages));
  return say({ state, effects: [] }, question, 'question');
}

const recordText =
  (record: ExamRecord): Wording =>
  (messages) => {
    const findings = standingFindings(record);
    return findings.length === 0 ? messages.text.nothingRecorded : readBackText(findings, messages);
  };

/** More names than these are not listened to; all of them stand on the screen. */
const namedAtEnd = 6;

/** What the plan asks for and has no finding, for the end; nothing where there is none. */
function notExamined(record: ExamRecord): Wording | undefined {
  const gaps = gapsOf(record);
  if (gaps.length === 0) return undefined;
  return (messages) => {
    const { names } = messages;
    const named = gaps.slice(0, namedAtEnd).map((gap) => gapName(gap, names));
    return spoken(messages.notExamined(named, Math.max(0, gaps.length - namedAtEnd)), names);
  };
}

const leftText =
  (record: ExamRecord): Wording =>
  (messages) => {
    const left = gapsOf(record).map((gap) => gapName(gap, messages.names));
    return left.length === 0
      ? messages.text.nothingLeft
      : spoken(messages.left(left), messages.names);
  };

const line =
  (key: DialogueText): Wording =>
  (messages) =>
    messages.text[key];

const say = ({ state, effects }: Move, text: Wording, as: SaidAs): Move => ({
  state,
  effects: [...effects, { type: 'say', text, as }],
});

const keep = (state: Dialogue, event: ExamEvent): Move => ({
  state: { ...state, record: append(state.record, event) },
  effects: [{ type: 'keep', event }],
});

function chained(first: Move, then: (state: Dialogue) => Move): Move {
  const second = then(first.state);
  return { state: second.state, effects: [...first.effects, ...second.effects] };
}

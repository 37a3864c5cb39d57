import { type Finding, itemKey, type Kind, type Modality } from '../exam/index.ts';
import { match, reach } from '../grammar/index.ts';
import { asKind, complete, type Missing } from './completion.ts';
import { type Draft, draftOf, emptyDraft, said } from './draft.ts';
import type { Language } from './language.ts';

/** What the examiner can tell the program to do. The ids are the grammar's. */
export const commands = [
  'confirm',
  'reject',
  'disregard',
  'undo',
  'say-again',
  'read-back',
  'pause',
  'go-on',
  'what-is-left',
  'help',
  'skip',
  'stop',
  'exam-complete',
  'compare',
  'show-records',
  'copy-note',
  'lock-records',
] as const;
export type Command = (typeof commands)[number];

/** Commands that change what stands in the record or where it goes: one that was heard with doubt is not obeyed. */
const grave: ReadonlySet<Command> = new Set([
  'reject',
  'disregard',
  'undo',
  'exam-complete',
  'show-records',
  'copy-note',
  'lock-records',
]);
export const isGrave = (command: Command): boolean => grave.has(command);

/** One thing that must be answered before a draft may count. */
export interface Question {
  readonly missing: Missing;
  readonly draft: Draft;
  /** Values said of one item, where they contradict one another. */
  readonly rivals: readonly Finding[];
}

export type Interpretation =
  /** Findings, complete; `corrects` when the examiner said so. Questions may stand beside them. */
  | {
      readonly is: 'findings';
      readonly findings: readonly Finding[];
      readonly questions: readonly Question[];
      readonly corrects: boolean;
      /** Whether they answer the open question, rather than being something new. */
      readonly answers: boolean;
    }
  | { readonly is: 'command'; readonly command: Command }
  /** Not examination speech. */
  | { readonly is: 'nothing' };

/** An item that an answer is expected for: side and value are all that need be said. */
export interface Expectation {
  readonly kind: Kind;
  readonly site: string;
  readonly modality?: Modality;
}

/** What the dialogue knows that words alone do not tell. */
export interface Context {
  /** The question that is open, the most recent if there are several. */
  readonly asked?: Question | undefined;
  /** The prompted item: a side and a value alone are understood of it, beside all that may be said. */
  readonly expected?: Expectation | undefined;
  /** Nothing but a reply to the prompted item, or a command, is listened for. */
  readonly repliesOnly?: boolean;
  /** The findings of the latest utterance that gave any: what a bare correction corrects. */
  readonly last?: readonly Finding[] | undefined;
  /** Only "go on" is listened for. */
  readonly standingBy?: boolean;
  /** A doubted finding is asked about: yes or no is an answer to that. */
  readonly doubted?: boolean;
  /** The word without which nothing is taken but an answer; a tag of `attention.word`. */
  readonly attention?: string | undefined;
  /** A review is open: verdicts are listened for beside all that may be said. */
  readonly reviewing?: boolean;
}

/** The rule of the grammar that holds everything that may be said in a context. */
export function ruleFor(context: Context): string {
  const rule = plainRule(context);
  const { attention, reviewing, repliesOnly } = context;
  if (attention === undefined || reviewing === true || repliesOnly === true) return rule;
  if (rule !== 'exam.open') return rule.replace('exam.', 'exam.attending-');
  return context.doubted === true ? 'exam.attending-whether' : 'exam.attending';
}

function plainRule(context: Context): string {
  if (context.standingBy === true) return 'exam.standing-by';
  if (context.reviewing === true) return 'exam.reviewing';
  const { asked, expected, repliesOnly } = context;
  if (expected !== undefined && repliesOnly === true) return `exam.prompted-${expected.kind}`;
  if (asked === undefined)
    return expected === undefined ? 'exam.open' : `exam.asked-${expected.kind}`;
  if (asked.missing.slot === 'value') return `exam.asked-${asked.draft.kind ?? 'reflex'}`;
  return `exam.asked-${asked.missing.slot}`;
}

/** The rule for a bare answer to a question. */
const answerRule = ({ missing, draft }: Question): string =>
  missing.slot === 'value' ? `reply.${draft.kind ?? 'reflex'}` : `reply.${missing.slot}.only`;

/**
 * What words mean in a context. Words are those of the grammar, lower case, as a recogniser gives
 * them; typed text goes through `wordsOfText` first.
 */
export function interpret(
  language: Language,
  words: readonly string[],
  context: Context = {},
): Interpretation {
  if (words.length === 0) return { is: 'nothing' };
  const { attention, ...called } = context;
  if (attention !== undefined) {
    const call = callOf(language, words);
    if (call.by === attention) return interpret(language, words.slice(call.length), called);
    return call.length === 0 ? answerOnly(language, words, called) : { is: 'nothing' };
  }
  if (context.asked !== undefined) {
    const answered = answer(language, words, context.asked);
    if (answered !== undefined) return { ...answered, answers: true };
  }
  if (context.expected !== undefined) {
    const replied = reply(language, words, context.expected);
    if (replied !== undefined) return replied;
  }
  const reading = match(language.program('exam.open'), words);
  if (reading === undefined) return { is: 'nothing' };
  const partial = reading.some(({ mark }) => mark.is === 'enter' && mark.rule === 'exam.any.reply');
  if (partial) {
    // What is asked about was said last and is not recorded: a correction is another answer.
    const rest = words.slice(correctionLength(language, words));
    const amended = context.asked && amendAsked(language, rest, context.asked);
    return amended ?? amend(language, words, context.last ?? []);
  }
  const { drafts, command, correction } = said(reading);
  if (command !== undefined) return { is: 'command', command: command as Command };
  return findingsOf(drafts, correction);
}

/** The words that call for attention, and whose; an empty text where they only sound like it. */
function callOf(
  language: Language,
  words: readonly string[],
): { readonly by: string; readonly length: number } {
  const calls = language.sentences('attention.lead') ?? [];
  const best = calls
    .filter((call) => call.words.every((word, i) => word === words[i]))
    .toSorted((a, b) => b.words.length - a.words.length)[0];
  return { by: best?.tags.join('').split('=')[1] ?? '', length: best?.words.length ?? 0 };
}

/** Words without a call: what they mean as an answer to what was asked, if anything was. */
function answerOnly(
  language: Language,
  words: readonly string[],
  { asked, expected, doubted = false }: Context,
): Interpretation {
  const given = asked && answer(language, words, asked);
  if (given !== undefined) return { ...given, answers: true };
  const replied = expected && reply(language, words, expected);
  if (replied !== undefined) return replied;
  const rules = [
    ...(doubted ? ['command.assent'] : []),
    ...(doubted || asked !== undefined ? ['room.choice'] : []),
  ];
  const reading = rules
    .map((rule) => match(language.program(rule), words))
    .find((one) => one !== undefined);
  const command = reading && said(reading).command;
  return command === undefined ? { is: 'nothing' } : { is: 'command', command: command as Command };
}

/** Words without what calls for attention before them. */
export function uncalled(language: Language, words: readonly string[]): readonly string[] {
  const { by, length } = callOf(language, words);
  return by === '' ? words : words.slice(length);
}

/** How many words, from the first, could begin something that may be said here. */
export const understoodWords = (
  language: Language,
  words: readonly string[],
  context: Context = {},
): number => reach(language.program(ruleFor(context)), words);

type Findings = Extract<Interpretation, { is: 'findings' }>;

function findingsOf(drafts: readonly Draft[], corrects: boolean): Findings {
  const told: (readonly Finding[])[] = [];
  const questions: Question[] = [];
  for (const draft of drafts) {
    const completed = complete(draft);
    if (completed.is === 'complete') told.push(completed.findings);
    else questions.push({ missing: completed.missing, draft, rivals: [] });
  }
  const { sided, unclear } = sidesAgree(told);
  for (const finding of unclear) {
    const draft = { ...draftOf(finding), sides: [] };
    questions.push({ missing: { slot: 'side' }, draft, rivals: [] });
  }
  const { agreed, contested } = contradictions(sided);
  for (const rivals of contested) {
    const [first] = rivals;
    if (first === undefined) continue;
    const draft = { ...draftOf(first), value: undefined, qualifiers: [], beats: undefined };
    questions.push({ missing: { slot: 'value', why: 'contradiction' }, draft, rivals });
  }
  return { is: 'findings', findings: agreed, questions, corrects, answers: false };
}

/**
 * Findings, but for those told of one side and, in the same breath and with the same value, of both ("right … four, both four"),
 * of which one each is given as unclear: nobody means it so, and what was heard last may be another's voice.
 */
function sidesAgree(told: readonly (readonly Finding[])[]): {
  readonly sided: readonly Finding[];
  readonly unclear: readonly Finding[];
} {
  const what = (finding: Finding): string =>
    `${itemKey({ ...finding, side: 'midline' })} ${finding.value}`;
  const all = told.flat();
  const unclear = new Map<string, Finding>();
  for (const finding of all) {
    const same = (one: Finding): boolean => what(one) === what(finding);
    const sides = told.map((findings) => new Set(findings.filter(same).map((f) => f.side)).size);
    if (sides.includes(1) && sides.includes(2)) unclear.set(what(finding), finding);
  }
  return {
    sided: all.filter((finding) => !unclear.has(what(finding))),
    unclear: [...unclear.values()],
  };
}

/** Findings that agree, said twice or once, and groups that give one item different values. */
function contradictions(findings: readonly Finding[]): {
  readonly agreed: readonly Finding[];
  readonly contested: readonly (readonly Finding[])[];
} {
  const byItem = new Map<string, Finding[]>();
  for (const finding of findings) {
    const group = byItem.get(itemKey(finding)) ?? [];
    if (!group.some((other) => other.value === finding.value)) group.push(finding);
    byItem.set(itemKey(finding), group);
  }
  const groups = [...byItem.values()];
  return {
    agreed: groups.filter((group) => group.length === 1).flat(),
    contested: groups.filter((group) => group.length > 1),
  };
}

/** A bare answer: what it gives goes into the draft that was asked about. */
function answer(
  language: Language,
  words: readonly string[],
  question: Question,
): Findings | undefined {
  const reading = match(language.program(answerRule(question)), words);
  if (reading === undefined) return undefined;
  const { draft } = question;
  const open: Draft = { ...draft, doubt: undefined, off: undefined };
  if (question.missing.slot === 'value') {
    const given = said(reading).drafts;
    return findingsOf(
      given.map((one) => over(one, open)),
      false,
    );
  }
  // A single slot: the sentence closes nothing, so its tags are read as one draft.
  const slot = single(said([...reading, item]).drafts);
  if (question.missing.slot === 'kind') {
    return findingsOf([asKind(draft, slot.kind)], false);
  }
  return findingsOf([over(slot, open)], false);
}

const item = { mark: { is: 'tag', text: 'item' }, at: 0 } as const;
const single = (drafts: readonly Draft[]): Draft => drafts[0] ?? emptyDraft;

/** What was said now, and from before what was not said now. */
function over(now: Draft, before: Draft): Draft {
  const some = <T>(a: readonly T[], b: readonly T[]): readonly T[] => (a.length > 0 ? a : b);
  const valued = now.value !== undefined || now.beats !== undefined || now.qualifiers.length > 0;
  return {
    kind: now.kind ?? before.kind,
    sites: some(now.sites, before.sites),
    sides: some(now.sides, before.sides),
    modalities: some(now.modalities, before.modalities),
    value: valued ? now.value : before.value,
    qualifiers: valued ? now.qualifiers : before.qualifiers,
    beats: valued ? now.beats : before.beats,
    doubt: now.doubt,
    off: now.off,
  };
}

function reply(
  language: Language,
  words: readonly string[],
  expected: Expectation,
): Findings | undefined {
  const reading = match(language.program(`reply.${expected.kind}`), words);
  if (reading === undefined) return undefined;
  const item: Draft = {
    ...emptyDraft,
    kind: expected.kind,
    sites: [expected.site],
    modalities: expected.modality === undefined ? [] : [expected.modality],
  };
  return findingsOf(
    said(reading).drafts.map((draft) => over(draft, item)),
    false,
  );
}

/**
 * "Correction, left three plus": the words after it, read on the scale of what they correct, over
 * the last findings. Where those were several, the one on the side that was said is meant.
 */
function amend(
  language: Language,
  words: readonly string[],
  last: readonly Finding[],
): Interpretation {
  const rest = words.slice(correctionLength(language, words));
  const target = last.at(-1);
  if (target === undefined) return asksWhat();
  const side = match(language.program('reply.side.only'), rest);
  const reading = side ?? match(language.program(`reply.${target.kind}`), rest);
  if (reading === undefined) return asksWhat();
  const given = said(side === undefined ? reading : [...reading, item]).drafts;
  const drafts = given.map((draft) => {
    const sided = last.findLast((finding) => draft.sides.includes(finding.side)) ?? target;
    return over(draft, draftOf(sided));
  });
  return findingsOf(drafts, true);
}

/** "Correction, two plus" while a side is asked for: the words over what was said so far. */
function amendAsked(
  language: Language,
  rest: readonly string[],
  { draft }: Question,
): Findings | undefined {
  if (draft.kind === undefined) return undefined;
  const side = match(language.program('reply.side.only'), rest);
  const reading = side ?? match(language.program(`reply.${draft.kind}`), rest);
  if (reading === undefined) return undefined;
  const given = said(side === undefined ? reading : [...reading, item]).drafts;
  const open: Draft = { ...draft, doubt: undefined, off: undefined };
  return {
    ...findingsOf(
      given.map((one) => over(one, open)),
      false,
    ),
    answers: true,
  };
}

const asksWhat = (): Interpretation => ({
  is: 'findings',
  findings: [],
  questions: [{ missing: { slot: 'kind' }, draft: emptyDraft, rivals: [] }],
  corrects: true,
  answers: false,
});

function correctionLength(language: Language, words: readonly string[]): number {
  const program = language.program('command.correction');
  for (let n = 1; n < words.length; n++) {
    if (match(program, words.slice(0, n)) !== undefined) return n;
  }
  return 0;
}

/** Whether words take the place of findings that stand. */
export function corrects(language: Language, words: readonly string[], context: Context): boolean {
  const meaning = interpret(language, words, context);
  return meaning.is === 'findings' && meaning.corrects;
}

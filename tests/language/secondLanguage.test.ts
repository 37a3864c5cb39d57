import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { createSession } from '../../src/app/session.ts';
import { type DialogueMessages, dialogueMessages, promptText } from '../../src/dialogue/index.ts';
import { ms, ownPlanId, planItemId, planItems, planName, plans } from '../../src/exam/index.ts';
import {
  fullDepth,
  type Localization,
  type LocalizeMessages,
  localize,
  localizeMessages,
  type PlaceMessages,
  pathwayOf,
  placeMessages,
} from '../../src/localize/index.ts';
import { drawBody } from '../../src/report/body.ts';
import {
  changeLines,
  compare,
  papersOf,
  plotGrades,
  plottable,
  type ReportMessages,
  reportMessages,
  toFhir,
  writeComparison,
  writeNote,
  writePrint,
} from '../../src/report/index.ts';
import { drawPathway } from '../../src/report/pathway.ts';
import { readCases } from '../localize/caseText.ts';
import { findings } from '../localize/examiner.ts';
import { anyReport } from '../report/arbitrary.ts';
import { rootExam } from '../report/exams.ts';
import { bracketed, plainAgain, strangers, watched } from './bracketed.ts';

const language = english();
const dialogue: DialogueMessages = bracketed(dialogueMessages.en);
const reasoning: LocalizeMessages = bracketed(localizeMessages.en);
const places: PlaceMessages = bracketed(placeMessages.en);
const papers: ReportMessages = bracketed(reportMessages.en);

/** A text of the second language has no word but its catalogue's, and says what English says. */
function isTold(text: string, inEnglish: string): void {
  expect(strangers(text)).toEqual([]);
  expect(plainAgain(text)).toBe(plainAgain(inEnglish));
}

test('a word that stands in no catalogue is found', () => {
  expect(strangers('⟦a ⟦b⟧ c⟧ and 3+ L5')).toEqual(['and']);
});

describe('what is said back and asked', () => {
  interface Conversation {
    readonly plan: string;
    readonly lines: readonly string[];
  }
  const linesOf = (path: string): readonly string[] =>
    readFileSync(new URL(path, import.meta.url), 'utf8').split('\n');
  const long = linesOf('../dialogue/dialogues.txt')
    .join('\n')
    .split(/\n\s*\n/)
    .map((block) => block.split('\n').filter((line) => line.startsWith('E')))
    .filter((lines) => lines.length > 0);
  const cases = '../../grammars/en/cases/';
  const single = readdirSync(new URL(cases, import.meta.url))
    .flatMap((file) => linesOf(`${cases}${file}`))
    .filter((line) => line.includes('==>'))
    .map((line) => [`E: ${line.split('==>', 1)[0]?.trim()}`]);
  const atEdges = [
    ['E: say again'],
    ['E: read back'],
    ['E: left biceps reflex two plus', 'E: affirm', 'E: undo'],
    ['E: patellar two plus on both sides', 'E: difficulty breathing', 'E: what is left'],
  ];
  const conversations: readonly Conversation[] = [
    ...[...long, ...single].map((lines) => ({ plan: 'leg-roots', lines })),
    ...atEdges.map((lines) => ({ plan: 'magnesium', lines })),
  ];

  /** Everything that is said in a conversation, and the names of what is left at its end. */
  function saidIn({ plan, lines }: Conversation, messages: DialogueMessages): readonly string[] {
    const said: string[] = [];
    const session = createSession({
      language,
      messages,
      now: () => ms(said.length),
      say: (text) => said.push(text),
      hush: () => {},
      keep: () => {},
      help: () => {},
      changed: () => {},
    });
    session.begin(plan);
    for (const line of lines) {
      const words = language.words(line.slice(3));
      const certainty = line.startsWith('E~') ? 'unsure' : 'sure';
      session.hear({ words, certainty, startMs: 0, endMs: 0, confidence: 1 });
    }
    return [...said, ...session.notExamined()];
  }

  test('every conversation is held in the second language, word for word', () => {
    for (const conversation of conversations) {
      const told = saidIn(conversation, dialogue);
      const wanted = saidIn(conversation, dialogueMessages.en);
      expect(told).toHaveLength(wanted.length);
      for (const [i, text] of told.entries()) isTold(text, wanted[i] ?? '');
    }
  });

  test('whatever the dialogue can say was said in them, so none of it stands elsewhere', () => {
    const { catalogue, unread } = watched(dialogue);
    for (const conversation of conversations) saidIn(conversation, catalogue);
    for (const item of planItems) promptText(item, catalogue);
    const own = ownPlanId(planItems.map(planItemId));
    for (const id of [...plans.map((plan) => plan.id), own]) planName(id, catalogue.names);
    expect(unread()).toEqual([]);
  });

  test('every item of a plan is asked for', () => {
    for (const item of planItems) isTold(promptText(item, dialogue), promptText(item));
  });
});

/** Every text of a localization. */
const textsOf = (found: Localization): readonly string[] => [
  ...found.hypotheses.flatMap(({ name, explains, against, unexplained }) => [
    name,
    ...[...explains, ...against, ...unexplained].map(({ text }) => text),
  ]),
  ...found.nextTests.flatMap(({ name, text, outcomes }) => [
    name,
    text,
    ...outcomes.flatMap(({ value, towards }) => [value, towards]),
  ]),
  ...found.cautions.map(({ text }) => text),
  ...[found.enough, found.nothing].filter((text) => text !== undefined),
];

/** The same reasoning, whatever it is told in. */
const numbersOf = ({ hypotheses, other, nextTests }: Localization): unknown => [
  hypotheses.map((h) => [h.site, h.side, h.probability, h.explains.map(({ weight }) => weight)]),
  other,
  nextTests.map(({ kind, site, side, bits }) => [kind, site, side, bits]),
];

describe('where the lesion may be', () => {
  const folder = new URL('../localize/cases/', import.meta.url);
  const cases = readdirSync(folder)
    .flatMap((file) => readCases(readFileSync(new URL(file, folder), 'utf8'), file))
    .map((one) => one.findings);
  /** What the cases have no example of: a denied failing, slips, a side mistaken, things missed. */
  const seldom = [
    findings(
      'context: respiratory-difficulty present',
      'strength left: shoulder-abduction 3',
      'reflex left: patellar 2+',
      'reflex left: patellar 3+',
    ),
    findings(
      'context: back-pain present',
      'strength left: ankle-dorsiflexion 2, great-toe-extension 1, hip-abduction 3, ankle-plantarflexion 5',
      'strength right: ankle-dorsiflexion 5, great-toe-extension 5, ankle-inversion 1, hip-abduction 5',
      'sensation pinprick left: L5 reduced',
      'reflex both: patellar 2+, achilles 2+',
    ),
    findings(
      'context: onset sudden',
      'sign right: facial-weakness-lower present',
      'strength right: shoulder-abduction 1, elbow-extension 1, finger-abduction 0, hip-flexion 5, knee-flexion 1, ankle-dorsiflexion 1',
      'strength left: shoulder-abduction 5, elbow-extension 5, finger-abduction 5, hip-flexion 1, knee-flexion 5, ankle-dorsiflexion 5',
      'reflex right: biceps 3+, patellar 3+, achilles 3+',
      'reflex left: biceps 2+, patellar 2+, achilles 2+',
      'plantar right: extensor',
      'plantar left: flexor',
    ),
    findings(
      'context: onset months, dysphagia present',
      'sign: dysarthria present, tongue-wasting present, tongue-fasciculation present',
      'reflex: jaw 2+',
      'strength both: finger-abduction 1, ankle-dorsiflexion 1',
      'fasciculation both: finger-abduction present, hip-flexion present',
      'bulk both: finger-abduction normal',
      'reflex both: biceps 4+, patellar 4+, achilles 4+',
    ),
    [],
  ];
  const wide = { listed: 60, argued: 60, tests: 5 };
  const everything = [
    ...cases.map((found) => ({ found, depth: fullDepth })),
    ...seldom.map((found) => ({ found, depth: wide })),
  ];
  test('is told in the second language, whatever it is', () => {
    const { catalogue, unread } = watched(reasoning);
    for (const { found, depth } of everything) {
      const told = localize(found, depth, catalogue);
      const drawn = pathwayOf(told, found, catalogue.places).runs.map(({ label }) => label);
      expect([...textsOf(told), ...drawn].flatMap(strangers)).toEqual([]);
    }
    expect(unread()).toEqual([]);
  }, 300_000);

  test('is the same, word for word', () => {
    // All of them told twice would take minutes.
    const some = everything.filter(({ depth }, i) => i % 20 === 0 || depth === wide);
    for (const { found, depth } of some) {
      const told = localize(found, depth, reasoning);
      const wanted = localize(found, depth);
      expect(numbersOf(told)).toEqual(numbersOf(wanted));
      const texts = textsOf(told);
      for (const [i, text] of textsOf(wanted).entries()) isTold(texts[i] ?? '', text);
    }
  });

  test('is drawn with its words', () => {
    const words = (svg: string): string =>
      svg.replaceAll(/<(?!\/?(title|desc|text)\b)[^>]*>|<\/?(title|desc|text)[^>]*>/g, ' ');
    for (const found of cases.slice(0, 20)) {
      const inEnglish = localize(found);
      const pathway = pathwayOf(localize(found, fullDepth, reasoning), found, places);
      isTold(
        words(drawPathway(pathway, 'p', papers.drawings)),
        words(drawPathway(pathwayOf(inEnglish, found), 'p')),
      );
      isTold(words(drawBody(found, 'b', papers.drawings)), words(drawBody(found, 'b')));
    }
  });
});

describe('what an exam leaves behind', () => {
  const { record } = rootExam;
  const recorded = record.entries.map(({ finding }) => finding);
  /** An exam without what its people wrote into it. */
  const inLanguage = (reasons: LocalizeMessages, said: DialogueMessages) => ({
    exam: 'e',
    record,
    startedAt: '2026-11-25T10:00:00Z',
    localization: localize(recorded, fullDepth, reasons),
    notExamined: [said.text.help],
  });
  const second = inLanguage(reasoning, dialogue);
  const first = inLanguage(localizeMessages.en, dialogueMessages.en);
  // Longer texts break and stand in other columns.
  const flat = (text: string): string => text.replaceAll(/\s+/g, ' ');

  test('whatever the papers can say is said in some, so none of it stands elsewhere', () => {
    const { catalogue, unread } = watched(papers);
    const reports = [rootExam, second, ...fc.sample(anyReport, { seed: 7, numRuns: 600 })];
    for (const [i, report] of reports.entries()) {
      papersOf(
        report,
        { body: drawBody(recorded, 'b', catalogue.drawings), pathway: '' },
        catalogue,
      );
      const earlier = [...reports.slice(Math.max(0, i - 2), i), report];
      writeComparison(earlier, catalogue);
      changeLines(compare(earlier, catalogue.names), catalogue);
      for (const { kind, site } of plottable(earlier)) plotGrades(earlier, kind, site, catalogue);
    }
    const papersOwn = unread().filter((path) => !/^(exam|names|drawings)\./.test(path));
    // The one is for a record with a gap in it, which no exam makes; the other is a review's.
    expect(papersOwn).toEqual(['text.laterValue', 'amended']);
  });

  test('the note', () => {
    isTold(flat(writeNote(second, papers)), flat(writeNote(first)));
  });

  test('the print, but for its style and marks', () => {
    const words = (html: string): string =>
      flat(html.replaceAll(/<style>.*?<\/style>|<[^>]*>/gs, ' '));
    isTold(words(writePrint(second, {}, papers)), words(writePrint(first)));
  });

  test('exams beside each other', () => {
    isTold(flat(writeComparison([second, second], papers)), flat(writeComparison([first, first])));
  });

  test('what a person reads of the bundle', () => {
    const read = (bundle: unknown): readonly string[] => {
      const texts: string[] = [];
      JSON.stringify(bundle, (key, value: unknown) => {
        const shown = ['text', 'title', 'div'].includes(key) && typeof value === 'string';
        if (shown) texts.push(flat(value.replaceAll(/<[^>]*>/g, ' ')));
        return value;
      });
      return texts;
    };
    const wanted = read(toFhir(first));
    expect(wanted.length).toBeGreaterThan(recorded.length);
    for (const [i, text] of read(toFhir(second, papers)).entries()) isTold(text, wanted[i] ?? '');
  });
});

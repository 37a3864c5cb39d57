import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { createSession } from '../../src/app/session.ts';
import { type DialogueMessages, dialogueMessages, promptText } from '../../src/dialogue/index.ts';
import { ms, planItems } from '../../src/exam/index.ts';
import {
  type ReportMessages,
  reportMessages,
  writeComparison,
  writeNote,
} from '../../src/report/index.ts';
import { rootExam } from '../report/exams.ts';
import { bracketed, plainAgain, strangers } from './bracketed.ts';

const language = english();
const second: DialogueMessages = bracketed(dialogueMessages.en);

/** Every text in the second language holds no word but of its catalogue, and says what English says. */
function isTold(text: string, inEnglish: string): void {
  expect(strangers(text)).toEqual([]);
  expect(plainAgain(text)).toBe(plainAgain(inEnglish));
}

test('a word that stands in no catalogue is found', () => {
  expect(strangers('⟦a ⟦b⟧ c⟧ and 3+ L5')).toEqual(['and']);
});

describe('what is said back and asked', () => {
  const conversations = readFileSync(new URL('../dialogue/dialogues.txt', import.meta.url), 'utf8')
    .split(/\n\s*\n/)
    .map((block) => block.split('\n').filter((line) => /^[EA]/.test(line)))
    .filter((lines) => lines.length > 0);

  /** Everything that is said in a conversation, and the names of what is left at its end. */
  function saidIn(lines: readonly string[], messages: DialogueMessages): readonly string[] {
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
    session.begin('leg-roots');
    for (const line of lines) {
      const words = language.words(line.slice(3));
      const certainty = line.startsWith('E~') ? 'unsure' : 'sure';
      if (line.startsWith('E')) {
        session.hear({ words, certainty, startMs: 0, endMs: 0, confidence: 1 });
      }
    }
    return [...said, ...session.notExamined()];
  }

  test('every conversation is held in the second language, word for word', () => {
    let texts = 0;
    for (const lines of conversations) {
      const told = saidIn(lines, second);
      const wanted = saidIn(lines, dialogueMessages.en);
      expect(told).toHaveLength(wanted.length);
      for (const [i, text] of told.entries()) isTold(text, wanted[i] ?? '');
      texts += told.length;
    }
    expect(texts).toBeGreaterThan(conversations.length);
  });

  test('every item of a plan is asked for', () => {
    for (const item of planItems) isTold(promptText(item, second), promptText(item));
  });
});

describe('what an exam leaves behind', () => {
  const messages: ReportMessages = bracketed(reportMessages.en);
  /** An exam without what people and the localization wrote into it. */
  const { patientLabel: _label, examiner: _examiner, localization: _sites, ...plain } = rootExam;
  const report = { ...plain, notExamined: [] };

  test('the note and the comparison', () => {
    for (const write of [
      (of: ReportMessages) => writeNote(report, of).replaceAll(/\s+/g, ' '),
      (of: ReportMessages) => writeComparison([report, report], of).replaceAll(/\s+/g, ' '),
    ]) {
      isTold(write(messages), write(reportMessages.en));
    }
  });
});

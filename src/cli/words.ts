import { readFile } from 'node:fs/promises';
import { spoken } from '../app/language.ts';
import { createSession, type Session, type Utterance } from '../app/session.ts';
import { chosenLanguage, ms } from '../exam/index.ts';
import type { Expectation } from '../interpret/index.ts';
import { Fault } from './fault.ts';
import { messages } from './language.ts';
import { commandLine } from './messages.ts';
import { answer, answerJson, utteranceText } from './output.ts';

export interface InterpretOptions {
  readonly words: string | undefined;
  readonly file: string | undefined;
  readonly expected: Expectation | undefined;
  readonly json: boolean;
}

/**
 * `interpret`: words in, one utterance or a line each of a file. The lines of a file are one exam,
 * so a correction knows what it corrects; an empty line begins another.
 *
 * @throws Fault when there are no words or the file cannot be read
 */
export async function interpretWords(options: InterpretOptions): Promise<void> {
  const { words, file, expected, json } = options;
  const language = spoken(chosenLanguage);
  let clock = 0;
  const fresh = (): Session => {
    const session = createSession({
      language,
      messages: messages.dialogue,
      now: () => ms(clock++),
      say: () => {},
      hush: () => {},
      keep: () => {},
      help: () => {},
      changed: () => {},
    });
    session.prompt(expected);
    return session;
  };
  if (file === undefined) {
    if (words === undefined || words.trim() === '') {
      throw new Fault(commandLine.interpret.noWords);
    }
    const utterance = fresh().type(words);
    if (json) answerJson(utterance);
    else answer(utteranceText(utterance, false));
    return;
  }
  const text = await readFile(file, 'utf8').catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(commandLine.interpret.unreadable(file, cause.code ?? cause.message));
  });
  const utterances: Utterance[] = [];
  let session = fresh();
  for (const line of text.split(/\r?\n/).slice(0, text.endsWith('\n') ? -1 : undefined)) {
    if (line.trim() === '') {
      session = fresh();
      continue;
    }
    utterances.push(session.type(line));
    // Standing by is for ears; the lines of a file are all meant to be read.
    if (session.state.mode === 'paused') session.type('go on');
  }
  if (json) answerJson(utterances);
  else answer(utterances.map((utterance) => utteranceText(utterance, false)).join('\n'));
}

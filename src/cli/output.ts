import type { Utterance } from '../app/session.ts';
import { type Finding, findingName } from '../exam/index.ts';
import { messages } from './language.ts';
import { commandLine } from './messages.ts';

/** Progress and talk go to standard error; standard output is for the answer alone. */
export const tell = (line: string): void => {
  process.stderr.write(`${line}\n`);
};

export const answer = (text: string): void => {
  process.stdout.write(text.endsWith('\n') ? text : `${text}\n`);
};

export const answerJson = (value: unknown): void => {
  process.stdout.write(`${JSON.stringify(value)}\n`);
};

const named = (finding: Finding): string => findingName(finding, messages.names);

const { utterance: text } = commandLine;

const seconds = (ms: number): string => text.seconds((ms / 1000).toFixed(1));

/** One utterance as lines for a person. */
export function utteranceText(utterance: Utterance, timed: boolean): string {
  const { outcome, heard, findings, command, readBack, confidence } = utterance;
  const when = timed ? `${seconds(utterance.startMs).padStart(8)}  ` : '';
  const gap = ' '.repeat(when.length);
  const lines = [`${when}${text.heard(heard === '' ? text.nothing : heard)}`];
  if (outcome === 'recorded') {
    lines.push(`${gap}${text.recorded(findings.map(named).join('; '))}`);
  } else if (outcome === 'command') {
    lines.push(`${gap}${text.command(command ?? '')}`);
  } else if (outcome === 'ask') {
    lines.push(`${gap}${text.toAnswer(findings.map(named).join('; ') || text.incomplete)}`);
  } else {
    lines.push(`${gap}${text.passedOver}`);
  }
  if (readBack !== '') lines.push(`${gap}${text.says(readBack)}`);
  if (timed && outcome !== 'ignored') lines.push(`${gap}${text.certain(confidence.toFixed(2))}`);
  return lines.join('\n');
}

import { readFile } from 'node:fs/promises';
import { checkFindings, type Finding } from '../exam/index.ts';
import { contractJson } from '../localize/index.ts';
import { Fault } from './fault.ts';
import { localized } from './language.ts';
import { localizationText } from './localization.ts';
import { commandLine } from './messages.ts';
import { answer, answerJson } from './output.ts';

/**
 * The findings of a record file, `{ "findings": [...] }` with whatever else beside them.
 * @throws Fault saying where the file is wrong
 */
export async function readFindings(file: string): Promise<readonly Finding[]> {
  const text = await readFile(file, 'utf8').catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(commandLine.localize.unreadable(file, cause.code ?? cause.message));
  });
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new Fault(commandLine.localize.noJson(file, why));
  }
  if (typeof parsed !== 'object' || parsed === null || !('findings' in parsed)) {
    throw new Fault(commandLine.localize.noFindings(file));
  }
  const checked = checkFindings(parsed.findings);
  if (!checked.ok)
    throw new Fault(commandLine.of(file, `${checked.fault.path} ${checked.fault.message}`));
  return checked.value;
}

/** `localize`: findings in, ranked sites out. */
export async function localizeRecord(file: string | undefined, json: boolean): Promise<void> {
  if (file === undefined) {
    throw new Fault(commandLine.localize.noFile);
  }
  const localization = localized(await readFindings(file));
  if (json) answerJson(contractJson(localization));
  else answer(localizationText(localization));
}

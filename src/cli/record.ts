import { readFile } from 'node:fs/promises';
import { checkFindings, type Finding } from '../exam/index.ts';
import { contractJson } from '../localize/index.ts';
import { Fault } from './fault.ts';
import { localized } from './language.ts';
import { localizationText } from './localization.ts';
import { answer, answerJson } from './output.ts';

/**
 * The findings of a record file, `{ "findings": [...] }` with whatever else beside them.
 * @throws Fault saying where the file is wrong
 */
export async function readFindings(file: string): Promise<readonly Finding[]> {
  const text = await readFile(file, 'utf8').catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(`${file}: cannot be read (${cause.code ?? cause.message}); give a record file`);
  });
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new Fault(`${file}: is not JSON (${why}); a record is {"findings": [...]}`);
  }
  if (typeof parsed !== 'object' || parsed === null || !('findings' in parsed)) {
    throw new Fault(`${file}: has no "findings"; a record is {"findings": [...]}`);
  }
  const checked = checkFindings(parsed.findings);
  if (!checked.ok) throw new Fault(`${file}: ${checked.fault.path} ${checked.fault.message}`);
  return checked.value;
}

/** `localize`: findings in, ranked sites out. */
export async function localizeRecord(file: string | undefined, json: boolean): Promise<void> {
  if (file === undefined) {
    throw new Fault('localize needs a record file: plessor localize record.json');
  }
  const localization = localized(await readFindings(file));
  if (json) answerJson(contractJson(localization));
  else answer(localizationText(localization));
}

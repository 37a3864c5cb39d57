import { readFile } from 'node:fs/promises';
import { PortError } from '../ports.ts';
import { checkReview, differences, fromFhir, fromJson } from '../report/index.ts';
import { readPack } from '../store/pack.ts';
import { Fault } from './fault.ts';
import { commandLine } from './messages.ts';
import { answer, answerJson } from './output.ts';

export interface CheckOptions {
  readonly file: string | undefined;
  /** A file that holds a pack's passphrase in its first line: on the command line others could read it. */
  readonly passphraseFile: string | undefined;
  readonly json: boolean;
}

const { check: text } = commandLine;

/** What a file turned out to be. */
interface Checked {
  readonly is: 'record' | 'FHIR bundle' | 'review pack';
  readonly exam: string;
  readonly findings: number;
  readonly events: number;
  /** Verdicts and signatures of a pack. */
  readonly reviewed: number;
  readonly signatures: readonly string[];
}

/**
 * `check`: whether a record, a FHIR bundle or a review pack is whole and unchanged.
 * @throws Fault saying what is wrong with it
 */
export async function check({ file, passphraseFile, json }: CheckOptions): Promise<void> {
  if (file === undefined) throw new Fault(text.noFile);
  const bytes = await read(file);
  const pack = bytes.subarray(0, 12).toString('latin1') === 'PLESSOR-PACK';
  const found = pack ? await checkPack(file, bytes, passphraseFile) : checkText(file, bytes);
  if (json) return answerJson(found);
  const { is, findings, events, reviewed, signatures } = found;
  answer(text.whole(file, text.kinds[is], findings, events));
  if (is === 'review pack') answer(text.reviewed(reviewed));
  for (const name of signatures) answer(text.signed(name));
}

async function read(file: string): Promise<Buffer> {
  return readFile(file).catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(text.unreadable(file, cause.code ?? cause.message));
  });
}

function checkText(file: string, bytes: Buffer): Checked {
  const content = bytes.toString('utf8');
  const bundle = /"resourceType"\s*:\s*"Bundle"/.test(content);
  const result = bundle ? fromFhir(content) : fromJson(content);
  if (!result.ok)
    throw new Fault(commandLine.of(file, `${result.fault.path} ${result.fault.message}`));
  const { exam, record } = result.value;
  return {
    is: bundle ? 'FHIR bundle' : 'record',
    exam,
    findings: record.entries.length,
    events: record.events.length,
    reviewed: 0,
    signatures: [],
  };
}

async function checkPack(
  file: string,
  bytes: Buffer,
  passphraseFile: string | undefined,
): Promise<Checked> {
  if (passphraseFile === undefined) {
    throw new Fault(text.noPassphrase(file));
  }
  const [passphrase = ''] = (await read(passphraseFile)).toString('utf8').split(/\r?\n/);
  const pack = await readPack(Uint8Array.from(bytes), passphrase).catch((cause: unknown) => {
    throw cause instanceof PortError ? new Fault(commandLine.of(file, cause.message)) : cause;
  });
  const [fault] = pack.faults;
  if (fault !== undefined) {
    throw new Fault(text.damagedPart(file, fault.part + 1, fault.message));
  }
  const review = checkReview(pack.parts);
  if (!review.ok)
    throw new Fault(commandLine.of(file, `${review.fault.path} ${review.fault.message}`));
  const { kept, signatures } = review.value;
  return {
    is: 'review pack',
    exam: kept.exam,
    findings: kept.record.entries.length,
    events: kept.record.events.length,
    reviewed: differences(review.value).filter(({ verdict }) => verdict !== 'open').length,
    signatures: signatures.map(({ name, at }) => `${name}, ${at}`),
  };
}

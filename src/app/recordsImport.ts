import { PortError } from '../ports.ts';
import { fromFhir, fromJson, type KeptReport, parse } from '../report/index.ts';
import { recordsMessages as words } from '../ui/index.ts';

/** Largest file that is read, in bytes; the readers have a limit of their own below it. */
const largest = 50_000_000;

/**
 * Reads a record or a Bundle that this program wrote.
 * @throws PortError `corrupt` saying in one line what is wrong with the file and what to do
 */
export async function readImport(file: Blob): Promise<KeptReport> {
  if (file.size > largest) throw refused(words.broughtTooLong);
  const text = await file.text();
  if (text.startsWith('PLESSOR-PACK')) {
    throw refused(words.broughtPack);
  }
  const top = parse(text)?.json;
  const bundle = typeof top === 'object' && top !== null && 'resourceType' in top;
  const read = bundle ? fromFhir(text) : fromJson(text);
  if (!read.ok) throw refused(words.broughtFault(read.fault.path, read.fault.message));
  return read.value;
}

const refused = (why: string): PortError => new PortError('corrupt', words.notBrought(why));

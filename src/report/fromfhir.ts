import { type Checked, type Finding, stands } from '../exam/index.ts';
import { fromBase64 } from './base64.ts';
import { recordMediaType } from './fhir.ts';
import { fromJson, largestRecord, parse, sameJson } from './json.ts';
import { formFaultMessages } from './messages/faults.ts';
import { fromObservation } from './observation.ts';
import type { KeptReport } from './report.ts';

const { bundle: words } = formFaultMessages;

type Raw = Readonly<Record<string, unknown>>;
const asObject = (input: unknown): Raw | undefined =>
  typeof input === 'object' && input !== null && !Array.isArray(input) ? (input as Raw) : undefined;

const fail = (path: string, message: string): Checked<never> => ({
  ok: false,
  fault: { path, message },
});

/**
 * Restores a record from a Bundle of `toFhir`. The Observations are read as well and must say what
 * the record says, side, value and standing, so that a Bundle changed on its way is refused.
 */
export function fromFhir(text: string): Checked<KeptReport> {
  if (text.length > 2 * largestRecord) return fail('bundle', words.tooLong);
  const parsed = parse(text);
  if (parsed === undefined) {
    return fail('bundle', words.noJson);
  }
  const bundle = asObject(parsed.json);
  if (bundle?.resourceType !== 'Bundle' || !Array.isArray(bundle.entry)) {
    return fail('bundle', words.none);
  }
  const resources = bundle.entry.map((entry) => asObject(asObject(entry)?.resource));
  const binary = resources.find(
    (r) => r?.resourceType === 'Binary' && r.contentType === recordMediaType,
  );
  if (typeof binary?.data !== 'string') {
    return fail('bundle', words.noRecord);
  }
  const json = fromBase64(binary.data);
  if (json === undefined) return fail('bundle', words.damaged);
  const kept = fromJson(json);
  if (!kept.ok) return kept;

  const standing = kept.value.record.entries.filter(stands);
  let next = 0;
  for (const [i, resource] of resources.entries()) {
    if (resource?.resourceType !== 'Observation') continue;
    const path = `bundle.entry[${i}]`;
    const read = fromObservation(resource, path);
    if (!read.ok) return read;
    const entry = standing[next++];
    const status = entry?.standing.is === 'open' ? 'preliminary' : 'final';
    if (!sameJson(read.value, entry && bare(entry.finding)) || resource.status !== status) {
      return fail(path, words.changed);
    }
  }
  if (next !== standing.length) {
    return fail('bundle', words.lacks(standing.length - next));
  }
  return kept;
}

/** A finding without an empty list of qualifiers, which an Observation cannot hold. */
function bare(finding: Finding): unknown {
  if (finding.kind !== 'reflex' || finding.qualifiers?.length !== 0) return finding;
  const { qualifiers: _, ...rest } = finding;
  return rest;
}

import { faultMessages as text } from './faultMessages.ts';
import type { Finding, Kind } from './finding.ts';
import { modalities, onsetValues } from './scale.ts';
import { sides } from './side.ts';
import { reflexQualifiers } from './site.ts';
import { kinds, laterality, vocabulary } from './vocabulary.ts';

/** What is wrong with something offered as a finding, in one line an examiner can act on. */
export interface Fault {
  /** Where, e.g. `findings[3].value`. */
  readonly path: string;
  readonly message: string;
}

export type Checked<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly fault: Fault };

/** Oldest age that is taken for an age and not for a slip. */
const oldestAge = 120;

const fields = new Set(['kind', 'site', 'side', 'value', 'qualifiers', 'modality', 'beats']);

function fail(path: string, message: string): Checked<never> {
  return { ok: false, fault: { path, message } };
}

const oneOf = (words: readonly string[]): string =>
  words.length <= 12 ? words.join(', ') : `${words.slice(0, 10).join(', ')} … (${words.length})`;

/**
 * Holds anything from outside (a file, a stored record, an import) against the vocabulary.
 * Unknown fields are refused rather than dropped, so nothing recorded elsewhere is lost unseen.
 */
export function checkFinding(input: unknown, path = 'finding'): Checked<Finding> {
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return fail(path, text.noFinding);
  }
  const raw = input as Readonly<Record<string, unknown>>;
  for (const field of Object.keys(raw)) {
    if (!fields.has(field)) return fail(`${path}.${field}`, text.noField);
  }
  const { kind, site, side, value, qualifiers, modality, beats } = raw;
  if (typeof kind !== 'string' || !(kinds as readonly string[]).includes(kind)) {
    return fail(`${path}.kind`, text.noKind(show(kind), oneOf(kinds)));
  }
  const known = vocabulary[kind as Kind];
  if (typeof site !== 'string' || !known.sites.includes(site)) {
    return fail(`${path}.site`, text.noSite(show(site), kind, oneOf(known.sites)));
  }
  if (typeof side !== 'string' || !(sides as readonly string[]).includes(side)) {
    return fail(`${path}.side`, text.noSide(show(side)));
  }
  const lateral = laterality(kind as Kind, site);
  if (lateral === 'paired' && side === 'midline') {
    return fail(`${path}.side`, text.paired(kind, site));
  }
  const faultyValue = checkValue(kind as Kind, site, value);
  if (faultyValue !== undefined) return fail(`${path}.value`, faultyValue);
  if (qualifiers !== undefined) {
    if (kind !== 'reflex') return fail(`${path}.qualifiers`, text.notOfReflex);
    if (!Array.isArray(qualifiers)) return fail(`${path}.qualifiers`, text.notAList);
    for (const [i, q] of qualifiers.entries()) {
      if (!(reflexQualifiers as readonly unknown[]).includes(q)) {
        return fail(`${path}.qualifiers[${i}]`, text.noQualifier(show(q), oneOf(reflexQualifiers)));
      }
    }
  }
  if (kind === 'sensation') {
    if (!(modalities as readonly unknown[]).includes(modality)) {
      return fail(`${path}.modality`, text.noModality(show(modality), oneOf(modalities)));
    }
  } else if (modality !== undefined) {
    return fail(`${path}.modality`, text.notOfSensation);
  }
  if (beats !== undefined) {
    if (kind !== 'clonus') return fail(`${path}.beats`, text.notOfClonus);
    if (!Number.isInteger(beats) || (beats as number) < 0) {
      return fail(`${path}.beats`, text.noBeats(show(beats)));
    }
  }
  return { ok: true, value: input as Finding };
}

function checkValue(kind: Kind, site: string, value: unknown): string | undefined {
  if (value === 'not-tested') return undefined;
  if (kind === 'context' && site === 'age') {
    const sound = typeof value === 'number' && value >= 0 && value <= oldestAge;
    return sound ? undefined : text.noAge(show(value), oldestAge);
  }
  const values: readonly string[] =
    kind === 'context' && site === 'onset' ? onsetValues : vocabulary[kind].values;
  if (typeof value === 'string' && values.includes(value)) return undefined;
  return text.noValue(show(value), kind, site, oneOf(values));
}

function show(value: unknown): string {
  if (value === undefined) return text.missing;
  const shown = typeof value === 'bigint' ? `${value}` : (JSON.stringify(value) ?? text.unreadable);
  return shown.length > 40 ? `${shown.slice(0, 40)}…` : shown;
}

/** A whole list of findings, or the first thing wrong with it. */
export function checkFindings(input: unknown, path = 'findings'): Checked<readonly Finding[]> {
  if (!Array.isArray(input)) return fail(path, text.noFindings);
  const findings: Finding[] = [];
  for (const [i, item] of input.entries()) {
    const checked = checkFinding(item, `${path}[${i}]`);
    if (!checked.ok) return checked;
    findings.push(checked.value);
  }
  return { ok: true, value: findings };
}

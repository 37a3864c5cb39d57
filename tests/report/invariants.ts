import type { FhirResource, Observation } from 'fhir/r4';
import type { ExamBundle } from '../../src/report/index.ts';

/**
 * Invariants of FHIR R4 that its JSON schema does not hold a Bundle to, by the names they have on
 * hl7.org/fhir/R4 (bundle.html, observation.html, composition.html, provenance.html, narrative.html).
 */
export function faultsOfDocument(bundle: ExamBundle): readonly string[] {
  const faults: string[] = [];
  const hold = (name: string, holds: boolean) => {
    if (!holds) faults.push(name);
  };
  const entries = bundle.entry;
  const resources = entries.map(({ resource }) => resource);

  hold('bdl-7', new Set(entries.map((e) => e.fullUrl)).size === entries.length);
  if (bundle.type === 'document') {
    hold('bdl-9', bundle.identifier?.system !== undefined && bundle.identifier.value !== undefined);
    hold('bdl-10', bundle.timestamp !== undefined);
    hold('bdl-11', resources[0]?.resourceType === 'Composition');
  }
  const urls = new Set(entries.map((e) => e.fullUrl));
  for (const reference of references(bundle)) hold(`reference ${reference}`, urls.has(reference));
  for (const text of texts(bundle)) hold(`string ${JSON.stringify(text)}`, isString(text));
  for (const resource of resources) {
    hold('id', /^[A-Za-z0-9\-.]{1,64}$/.test(resource.id));
    if (resource.resourceType === 'Observation') observation(resource, hold);
    if (resource.resourceType === 'Provenance') {
      const { start = '', end = '' } = resource.occurredPeriod ?? {};
      hold('per-1', Date.parse(start || end) <= Date.parse(end) || start === end);
      hold('Provenance.target', resource.target.length > 0);
      hold('Provenance.agent', resource.agent.length > 0);
      hold('Provenance.recorded', isGiven(resource, 'recorded'));
    }
    if (resource.resourceType === 'Composition') {
      hold('Composition.date', isGiven(resource, 'date'));
      hold('Composition.author', resource.author.length > 0);
      for (const section of resource.section ?? []) {
        hold('cmp-1', section.text !== undefined || section.entry !== undefined);
      }
    }
    if ('text' in resource && resource.text !== undefined) narrative(resource.text.div, hold);
  }
  return faults;
}

function observation(o: Observation, hold: (name: string, holds: boolean) => void) {
  const valued = o.valueCodeableConcept !== undefined || o.valueQuantity !== undefined;
  hold('obs-6', o.dataAbsentReason === undefined || !valued);
  hold('obs-3', valued || o.dataAbsentReason !== undefined);
}

/** txt-1 and txt-2: well-formed, plain elements only, and something in it. */
function narrative(div: string, hold: (name: string, holds: boolean) => void) {
  const inner = div
    .replace(/^<div xmlns="http:\/\/www\.w3\.org\/1999\/xhtml">(<pre>)?/, '')
    .replace(/(<\/pre>)?<\/div>$/, '');
  hold('txt-1', !/[<>]/.test(inner) && !/&(?!amp;|lt;|gt;|quot;|#39;)/.test(inner));
  hold('txt-2', /\S/.test(inner));
}

/** A required date, or the extension that says why there is none. */
const isGiven = (resource: FhirResource, field: string): boolean =>
  Object.hasOwn(resource, field) || Object.hasOwn(resource, `_${field}`);

function* values(input: unknown): Generator<readonly [key: string, value: unknown]> {
  if (typeof input !== 'object' || input === null) return;
  for (const [key, value] of Object.entries(input)) {
    yield [key, value];
    yield* values(value);
  }
}

const references = (bundle: ExamBundle): readonly string[] =>
  [...values(bundle)].flatMap(([key, value]) =>
    key === 'reference' && typeof value === 'string' ? [value] : [],
  );

const texts = (bundle: ExamBundle): readonly string[] =>
  [...values(bundle)].flatMap(([, value]) => (typeof value === 'string' ? [value] : []));

/** FHIR strings are not empty and hold no control signs but tab and line ends (datatypes.html). */
const isString = (text: string): boolean =>
  text.trim() !== '' && ![...text].some((c) => c < ' ' && !'\t\n\r'.includes(c));

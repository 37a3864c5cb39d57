import type {
  Binary,
  Bundle,
  Composition,
  Device,
  FhirResource,
  Observation,
  Patient,
  Practitioner,
  Provenance,
  Reference,
} from 'fhir/r4';
import { openEntries, stands } from '../exam/index.ts';
import { toBase64 } from './base64.ts';
import { noteType, participant } from './code.ts';
import { reportEnglish } from './english/papers.ts';
import { toJson } from './json.ts';
import type { ReportMessages } from './messages/papers.ts';
import { writeNote } from './note.ts';
import { toObservation } from './observation.ts';
import { plain } from './plain.ts';
import { instantOf, type Report } from './report.ts';
import { uuidOf } from './uuid.ts';
import { preformatted } from './xhtml.ts';

/** Media type of the record inside the Bundle, by which the import finds it. */
export const recordMediaType = 'application/vnd.plessor.record+json';

/** A Bundle whose entries all have a resource, typed as the union that the standard means. */
export interface ExamBundle extends Bundle {
  entry: { readonly fullUrl: string; readonly resource: Part }[];
}

type Part = FhirResource & { readonly id: string };

/**
 * The exam as a FHIR R4 document Bundle: a Composition with the note, one Observation for each
 * finding that stands, who and what made it (Provenance), and the whole record as a Binary from
 * which `fromFhir` restores it. Where the start of the exam is unknown nothing can be dated, so the
 * Bundle is a collection instead, and says that its dates are unknown.
 */
export function toFhir(report: Report, messages: ReportMessages = reportEnglish): ExamBundle {
  const { exchange } = messages;
  const id = (...parts: readonly string[]) => uuidOf(report.exam, ...parts);
  const to = (part: Part | undefined): Reference => ({ reference: `urn:uuid:${part?.id}` });
  const span = spanOf(report);

  const patient = patientOf(report, id('patient'));
  const practitioner = practitionerOf(report, id('practitioner'));
  const device = deviceOf(report, id('device'));
  const author = practitioner ?? device;
  const observations = report.record.entries.filter(stands).map((entry): Observation & Part => ({
    ...toObservation(entry, id('entry', `${entry.id}`), instantOf(report, entry.at), messages),
    id: id('entry', `${entry.id}`),
    ...(patient === undefined ? {} : { subject: to(patient) }),
    ...(practitioner === undefined ? {} : { performer: [to(practitioner)] }),
  }));
  const record: Binary & Part = {
    resourceType: 'Binary',
    id: id('record'),
    contentType: recordMediaType,
    data: toBase64(toJson(report)),
  };
  const text = writeNote(report, messages);
  const note = preformatted(text);
  // A document is never changed: what says something else is another document (R4, documents.html).
  const bundle = id('bundle', text, record.data ?? '');
  const settled = report.record.complete && openEntries(report.record).length === 0;
  const composition: Composition & Part = {
    resourceType: 'Composition',
    id: id('composition'),
    text: { status: 'generated', div: note },
    status: settled ? 'final' : 'preliminary',
    type: noteType(messages.text.title),
    ...(patient === undefined ? {} : { subject: to(patient) }),
    ...dated('date', span?.end),
    author: [to(author)],
    title: messages.text.title,
    section: [
      {
        title: exchange.findings,
        text: { status: 'generated', div: note },
        ...(observations.length === 0 ? {} : { entry: observations.map(to) }),
      },
      {
        title: exchange.record,
        text: {
          status: 'generated',
          div: preformatted(exchange.recordMore),
        },
        entry: [to(record)],
      },
    ],
  };
  const provenance: Provenance & Part = {
    resourceType: 'Provenance',
    id: id('provenance'),
    target: [composition, ...observations, record].map(to),
    ...(span === undefined ? {} : { occurredPeriod: span }),
    ...dated('recorded', span?.end),
    agent: [
      ...(practitioner === undefined
        ? []
        : [{ type: participant('author'), who: to(practitioner) }]),
      { type: participant('assembler'), who: to(device) },
    ],
  };
  const parts: readonly (Part | undefined)[] = [
    composition,
    patient,
    practitioner,
    device,
    ...observations,
    record,
    provenance,
  ];
  return {
    resourceType: 'Bundle',
    id: bundle,
    identifier: { system: 'urn:ietf:rfc:3986', value: `urn:uuid:${bundle}` },
    ...(span === undefined ? { type: 'collection' } : { type: 'document', timestamp: span.end }),
    entry: parts.flatMap((part): ExamBundle['entry'] =>
      part === undefined ? [] : [{ fullUrl: `urn:uuid:${part.id}`, resource: part }],
    ),
  };
}

/** First and last instant of the exam, whichever way the clock was set in between. */
function spanOf(report: Report): { readonly start: string; readonly end: string } | undefined {
  const instants = report.record.events.flatMap(({ at }) => instantOf(report, at) ?? []).toSorted();
  const start = instants[0];
  const end = instants.at(-1);
  return start === undefined || end === undefined ? undefined : { start, end };
}

/** A date that the standard demands, or the standard's own way to say that it is not known. */
function dated<F extends 'date' | 'recorded'>(field: F, instant: string | undefined) {
  const unknown = {
    extension: [
      {
        url: 'http://hl7.org/fhir/StructureDefinition/data-absent-reason',
        valueCode: 'unknown',
      },
    ],
  };
  const out = instant === undefined ? { [`_${field}`]: unknown } : { [field]: instant };
  return out as Record<F, string>;
}

function patientOf({ patientLabel }: Report, id: string): (Patient & Part) | undefined {
  const text = plain(patientLabel ?? '');
  return text === '' ? undefined : { resourceType: 'Patient', id, name: [{ text }] };
}

function practitionerOf({ examiner }: Report, id: string): (Practitioner & Part) | undefined {
  const text = plain(examiner ?? '');
  return text === '' ? undefined : { resourceType: 'Practitioner', id, name: [{ text }] };
}

function deviceOf({ version }: Report, id: string): Device & Part {
  const value = plain(version ?? '');
  return {
    resourceType: 'Device',
    id,
    deviceName: [{ name: 'Plessor', type: 'model-name' }],
    ...(value === '' ? {} : { version: [{ value }] }),
  };
}

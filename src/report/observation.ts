import type { CodeableConcept, Observation, ObservationComponent } from 'fhir/r4';
import { bearing, type Checked, checkFinding, type Entry, type Finding } from '../exam/index.ts';
import {
  examCategory,
  interpretation,
  lateralityCode,
  notPerformed,
  type OwnSystem,
  ownCoding,
  ownSystems,
  sideCoding,
  years,
} from './code.ts';
import { formFaultMessages } from './messages/faults.ts';
import type { ReportMessages } from './messages/papers.ts';
import { findingLine, itemTitle, siteName, withSide } from './name.ts';
import { sentence } from './plain.ts';
import { div } from './xhtml.ts';

/** An entry that stands as a FHIR R4 Observation, without its references to other resources. */
export function toObservation(
  { finding, standing }: Entry,
  id: string,
  effective: string | undefined,
  messages: ReportMessages,
): Observation {
  const { names, exchange } = messages;
  const unconfirmed = standing.is === 'open';
  const line = sentence(findingLine(finding, names));
  const text = unconfirmed ? exchange.unconfirmed(line) : line;
  const component = components(finding, messages);
  const method = methodOf(finding, messages);
  return {
    resourceType: 'Observation',
    id,
    text: { status: 'generated', div: div(text) },
    status: unconfirmed ? 'preliminary' : 'final',
    category: [examCategory],
    code: {
      coding: [ownCoding('item', `${finding.kind}:${finding.site}`)],
      text: sentence(itemTitle(finding, names)),
    },
    ...(effective === undefined ? {} : { effectiveDateTime: effective }),
    ...resultOf(finding, messages),
    ...readingOf(finding, messages),
    ...(unconfirmed ? { note: [{ text: exchange.notConfirmed }] } : {}),
    ...(finding.kind === 'context' || finding.kind === 'gait'
      ? {}
      : {
          bodySite: {
            coding: [ownCoding('site', finding.site)],
            text: withSide(finding, siteName(finding, names), names),
          },
        }),
    ...(method === undefined ? {} : { method }),
    ...(component.length === 0 ? {} : { component }),
  };
}

function resultOf(
  finding: Finding,
  { names }: ReportMessages,
): Pick<Observation, 'valueCodeableConcept' | 'valueQuantity' | 'dataAbsentReason'> {
  if (finding.value === 'not-tested')
    return { dataAbsentReason: notPerformed(names.value(finding.value)) };
  if (typeof finding.value === 'number')
    return { valueQuantity: { value: finding.value, ...years } };
  return {
    valueCodeableConcept: {
      coding: [ownCoding('value', finding.value)],
      text: names.value(finding.value),
    },
  };
}

function readingOf(
  finding: Finding,
  { exchange }: ReportMessages,
): Pick<Observation, 'interpretation'> {
  const reading = bearing(finding);
  if (reading !== 'normal' && reading !== 'abnormal') return {};
  return { interpretation: [interpretation(reading === 'normal' ? 'N' : 'A', exchange[reading])] };
}

function methodOf(
  finding: Finding,
  { names, exchange }: ReportMessages,
): CodeableConcept | undefined {
  if (finding.kind === 'sensation') {
    return {
      coding: [ownCoding('modality', finding.modality)],
      text: sentence(names.modalities[finding.modality]),
    };
  }
  const text = exchange.methods[finding.kind];
  return text === undefined ? undefined : { text };
}

function components(finding: Finding, { names, exchange }: ReportMessages): ObservationComponent[] {
  const side: ObservationComponent = {
    code: { coding: [lateralityCode, ownCoding('part', 'side')], text: exchange.laterality },
    valueCodeableConcept: {
      coding: sideCoding(finding.side),
      text: names.sides[finding.side],
    },
  };
  const qualifiers = finding.kind === 'reflex' ? (finding.qualifiers ?? []) : [];
  const beats = finding.kind === 'clonus' ? finding.beats : undefined;
  return [
    side,
    ...qualifiers.map(
      (q): ObservationComponent => ({
        code: { coding: [ownCoding('part', 'qualifier')], text: exchange.quality },
        valueCodeableConcept: { coding: [ownCoding('qualifier', q)], text: names.qualifiers[q] },
      }),
    ),
    ...(beats === undefined
      ? []
      : [
          {
            code: { coding: [ownCoding('part', 'beats')], text: exchange.beats },
            valueInteger: beats,
          },
        ]),
  ];
}

type Raw = Readonly<Record<string, unknown>>;
const asObject = (input: unknown): Raw =>
  typeof input === 'object' && input !== null && !Array.isArray(input) ? (input as Raw) : {};
const asList = (input: unknown): readonly unknown[] => (Array.isArray(input) ? input : []);

/** The code that a concept has in one of the program's own systems. */
function ownCode(concept: unknown, system: OwnSystem): string | undefined {
  for (const item of asList(asObject(concept).coding)) {
    const { system: where, code } = asObject(item);
    if (where === ownSystems[system] && typeof code === 'string') return code;
  }
  return undefined;
}

/**
 * The finding of an Observation that this program wrote. Side and value are read from the codes,
 * and the public code of the side must say the same as the own one.
 */
export function fromObservation(input: unknown, path: string): Checked<Finding> {
  const raw = asObject(input);
  const item = ownCode(raw.code, 'item') ?? '';
  const colon = item.indexOf(':');
  const parts = asList(raw.component).map(asObject);
  const part = (name: string) => parts.filter((p) => ownCode(p.code, 'part') === name);
  const side = part('side')[0]?.valueCodeableConcept;
  const sideCode = ownCode(side, 'side');
  if (sideCode === 'left' || sideCode === 'right' || sideCode === 'midline') {
    const codes = JSON.stringify(asList(asObject(side).coding).map((c) => asObject(c).code));
    const expected = JSON.stringify(sideCoding(sideCode).map((c) => c.code));
    if (codes !== expected) {
      return { ok: false, fault: { path, message: formFaultMessages.bundle.twoSides } };
    }
  }
  const qualifiers = part('qualifier').map((p) => ownCode(p.valueCodeableConcept, 'qualifier'));
  const beats = part('beats')[0]?.valueInteger;
  const modality = ownCode(raw.method, 'modality');
  return checkFinding(
    {
      kind: item.slice(0, Math.max(colon, 0)),
      site: item.slice(colon + 1),
      side: sideCode,
      value:
        raw.dataAbsentReason === undefined
          ? (asObject(raw.valueQuantity).value ?? ownCode(raw.valueCodeableConcept, 'value'))
          : 'not-tested',
      ...(qualifiers.length === 0 ? {} : { qualifiers }),
      ...(modality === undefined ? {} : { modality }),
      ...(beats === undefined ? {} : { beats }),
    },
    path,
  );
}

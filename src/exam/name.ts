import type { Finding, Kind } from './finding.ts';

/**
 * Names as an examiner says them. An id already is the trade's word with hyphens in it; the rows
 * here are those that are said otherwise.
 */
const siteNames: Readonly<Record<string, string>> = {
  'reflex:achilles': 'ankle jerk',
  'reflex:patellar': 'patellar',
  'reflex:jaw': 'jaw jerk',
  'reflex:biceps': 'biceps reflex',
  'reflex:triceps': 'triceps reflex',
  'reflex:brachioradialis': 'brachioradialis reflex',
  'reflex:deltoid': 'deltoid reflex',
  'reflex:pectoralis': 'pectoralis reflex',
  'reflex:adductor': 'adductor reflex',
  'reflex:finger-flexor': 'finger flexor reflex',
  'plantar:foot': 'plantar',
  'superficial:abdominal-upper': 'upper abdominal reflex',
  'superficial:abdominal-lower': 'lower abdominal reflex',
  'superficial:cremasteric': 'cremasteric reflex',
  'superficial:anal': 'anal reflex',
  'superficial:bulbocavernosus': 'bulbocavernosus reflex',
  'sign:tinel-wrist': 'Tinel at the wrist',
  'sign:tinel-elbow': 'Tinel at the elbow',
  'sign:tinel-fibular-neck': 'Tinel at the fibular neck',
  'sign:facial-weakness-lower': 'lower facial weakness',
  'sign:facial-weakness-whole': 'whole facial weakness',
  'strength:brachioradialis': 'brachioradialis strength',
  'gait:gait': 'gait',
  'context:thyroid-low': 'low thyroid',
  'context:thyroid-high': 'high thyroid',
  'context:calcium-low': 'low calcium',
  'context:b12-deficiency': 'B12 deficiency',
  'context:bladder-bowel': 'bladder or bowel trouble',
};

const kindWords: Readonly<Partial<Record<Kind, string>>> = {
  clonus: 'clonus',
  tone: 'tone',
  bulk: 'bulk',
  fasciculation: 'fasciculation',
  coordination: 'coordination',
};

/** The name of an item without its side: "patellar", "ankle clonus", "hip flexion". */
export function itemName(kind: Kind, site: string): string {
  const known = siteNames[`${kind}:${site}`];
  if (known !== undefined) return known;
  const place = site.startsWith('level-')
    ? `below ${site.slice('level-'.length)}`
    : capitalized(site.replaceAll('-', ' '));
  const word = kindWords[kind];
  return word === undefined ? place : `${place} ${word}`;
}

/** Signs that carry a person's name keep their capital. */
const eponyms = /\b(hoffmann|tromner|romberg|spurling|lhermitte|tinel|phalen|horner)\b/g;
const capitalized = (name: string): string =>
  name.replace(eponyms, (eponym) => eponym.charAt(0).toUpperCase() + eponym.slice(1));

/** A value as it is written: "3+", "4-", "extensor", "not tested". */
export const valueName = (finding: Finding): string => {
  const value = String(finding.value).replaceAll('-tested', ' tested');
  const beats = finding.kind === 'clonus' && finding.beats !== undefined;
  return beats ? `${value}, ${finding.beats} beats` : value;
};

/** A finding in one line, side first, value last: "right patellar 3+". */
export function findingName(finding: Finding): string {
  const side = finding.side === 'midline' ? '' : `${finding.side} `;
  const modality = finding.kind === 'sensation' ? ` ${finding.modality.replaceAll('-', ' ')}` : '';
  const how =
    finding.kind === 'reflex' && finding.qualifiers !== undefined
      ? `, ${finding.qualifiers.map((q) => q.replaceAll('-', ' ')).join(', ')}`
      : '';
  return `${side}${itemName(finding.kind, finding.site)}${modality} ${valueName(finding)}${how}`;
}

const digits = [
  'zero',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
] as const;

/** A line of text as a voice must say it: "3+" as "three plus", "T10" as "T ten". */
export const spoken = (text: string): string =>
  text
    .replace(/\b(\d)\+/g, (_, n: string) => `${digits[Number(n)]} plus`)
    .replace(/\b(\d)-(?!\w)/g, (_, n: string) => `${digits[Number(n)]} minus`)
    .replace(/\b([CTLS])(\d{1,2})\b/g, (_, l: string, n: string) => `${l} ${digits[Number(n)]}`)
    .replace(/\b(\d{1,2})\b/g, (_, n: string) => digits[Number(n)] ?? n);

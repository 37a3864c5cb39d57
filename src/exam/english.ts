import type { Kind } from './finding.ts';
import type { ExamMessages } from './messages.ts';

/**
 * An id already is the trade's word with hyphens in it; the rows here are those that are said
 * otherwise.
 */
const items: Readonly<Record<string, string>> = {
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

function item(kind: Kind, site: string): string {
  const known = items[`${kind}:${site}`];
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

const before = (word: string | undefined): string => (word === undefined ? '' : `${word} `);

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

const spoken = (text: string): string =>
  text
    .replace(/\b(\d)\+/g, (_, n: string) => `${digits[Number(n)]} plus`)
    .replace(/\b(\d)-(?!\w)/g, (_, n: string) => `${digits[Number(n)]} minus`)
    .replace(/\b([CTLS])(\d{1,2})\b/g, (_, l: string, n: string) => `${l} ${digits[Number(n)]}`)
    .replace(/\b(\d{1,2})\b/g, (_, n: string) => digits[Number(n)] ?? n);

/** Names as an examiner says them in English. */
export const examEnglish: ExamMessages = {
  sides: { left: 'left', right: 'right' },
  modalities: {
    'light-touch': 'light touch',
    pinprick: 'pinprick',
    temperature: 'temperature',
    vibration: 'vibration',
    'joint-position': 'joint position',
  },
  qualifiers: {
    trace: 'trace',
    'with-reinforcement': 'with reinforcement',
    pendular: 'pendular',
    'delayed-relaxation': 'delayed relaxation',
    crossed: 'crossed',
    spread: 'spread',
    inverted: 'inverted',
  },
  item,
  value: (value) => value.replaceAll('-tested', ' tested'),
  beats: (value, beats) => `${value}, ${beats} beats`,
  finding: ({ side, item, modality, value, qualifiers }) => {
    const felt = modality === undefined ? '' : ` ${modality}`;
    return [`${before(side)}${item}${felt} ${value}`, ...qualifiers].join(', ');
  },
  gap: ({ side, item, modality }) =>
    `${before(side)}${item}${modality === undefined ? '' : `, ${modality}`}`,
  plans: {
    reflexes: 'Reflexes only',
    'arm-roots': 'Spine and roots, arm',
    'leg-roots': 'Spine and roots, leg',
    cord: 'Suspected cord',
    neuropathy: 'Neuropathy',
    magnesium: 'Magnesium infusion watch',
    full: 'Full motor and reflex',
  },
  ownPlan: 'My own plan',
  spoken,
};

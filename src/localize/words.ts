import { arcs, isLimbReflex, isPatch, patchOf, superficialArcs } from '../anatomy/index.ts';
import type { Finding, Modality, Side } from '../exam/index.ts';

const modalityWords: Readonly<Record<Modality, string>> = {
  'light-touch': 'light touch',
  pinprick: 'pinprick',
  temperature: 'temperature',
  vibration: 'vibration',
  'joint-position': 'joint position',
};

const plain = (id: string): string => id.replaceAll('-', ' ');

/** Signs that are named after people are written with capitals. */
const properNames: Readonly<Record<string, string>> = {
  hoffmann: 'Hoffmann sign',
  tromner: 'Tromner sign',
  romberg: 'Romberg sign',
  spurling: 'Spurling test',
  lhermitte: "Lhermitte's sign",
  phalen: 'Phalen test',
  horner: "Horner's syndrome",
  'tinel-wrist': 'Tinel sign at the wrist',
  'tinel-elbow': 'Tinel sign at the elbow',
  'tinel-fibular-neck': 'Tinel sign at the fibular neck',
  'straight-leg-raise': 'straight leg raise',
  'femoral-stretch': 'femoral stretch',
  'facial-weakness-lower': 'lower facial weakness',
  'facial-weakness-whole': 'weakness of the whole half of the face',
};

const circumstances: Readonly<Record<string, string>> = {
  'thyroid-low': 'low thyroid',
  'thyroid-high': 'high thyroid',
  'calcium-low': 'low calcium',
  'bladder-bowel': 'bladder or bowel trouble',
  'b12-deficiency': 'B12 deficiency',
};

/** The place of an item in words: "ankle jerk", "ankle dorsiflexion", "pinprick on the outer leg". */
export function placeWords(kind: string, site: string, modality?: string): string {
  switch (kind) {
    case 'reflex':
      if (site === 'jaw') return 'jaw jerk';
      return isLimbReflex(site) ? arcs[site].name : plain(site);
    case 'superficial':
      return superficialArcs[site as keyof typeof superficialArcs]?.name ?? plain(site);
    case 'clonus':
      return `${plain(site)} clonus`;
    case 'plantar':
      return 'plantar response';
    case 'sign':
      return properNames[site] ?? plain(site);
    case 'tone':
    case 'coordination':
      return `${kind === 'tone' ? 'tone' : 'coordination'} of the ${plain(site)}`;
    case 'bulk':
      return `bulk, ${plain(site)}`;
    case 'fasciculation':
      return `fasciculation, ${plain(site)}`;
    case 'sensation': {
      const word = modalityWords[(modality ?? 'light-touch') as Modality] ?? plain(modality ?? '');
      const skin = site as Parameters<typeof isPatch>[0];
      if (site.startsWith('level-')) return `${word} below ${site.slice('level-'.length)}`;
      return `${word}, ${isPatch(skin) ? patchOf(skin).name : plain(site)}`;
    }
    case 'context':
      return circumstances[site] ?? plain(site);
    default:
      return plain(site);
  }
}

const sideWord = (side: Side): string => (side === 'midline' ? '' : ` ${side}`);

/** "ankle jerk left 0", "ankle dorsiflexion right 3/5", "plantar response left extensor". */
export function findingWords(finding: Finding): string {
  const modality = finding.kind === 'sensation' ? finding.modality : undefined;
  const place = placeWords(finding.kind, finding.site, modality) + sideWord(finding.side);
  if (finding.kind === 'strength') return `${place} ${finding.value}/5`;
  if (finding.kind === 'context')
    return finding.value === 'present' ? place : `${place}: ${finding.value}`;
  return `${place} ${plain(String(finding.value))}`;
}

/** An item as one asks for it: "Hip abduction, left". */
export function itemWords(kind: string, site: string, side: Side, modality?: string): string {
  const words = placeWords(kind, site, modality) + (side === 'midline' ? '' : `, ${side}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

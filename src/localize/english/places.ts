import {
  arcs,
  isLimbReflex,
  isPatch,
  nerves,
  patchOf,
  superficialArcs,
} from '../../anatomy/index.ts';
import type { Finding, Modality, Side } from '../../exam/index.ts';
import type { PlaceMessages } from '../messages/places.ts';

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

/** Skin that is told of by its shape. */
const distributions: Readonly<Record<string, string>> = {
  stocking: 'in a stocking area',
  glove: 'in a glove area',
  cape: 'in a cape area',
  hemibody: 'over half the body',
  'whole-upper-limb': 'over the whole arm',
  'whole-lower-limb': 'over the whole leg',
};

const circumstances: Readonly<Record<string, string>> = {
  'thyroid-low': 'known low thyroid',
  'thyroid-high': 'known high thyroid',
  'calcium-low': 'known low calcium',
  'bladder-bowel': 'bladder or bowel trouble',
  'b12-deficiency': 'B12 deficiency',
};

/** The place of an item in words: "ankle jerk", "ankle dorsiflexion", "pinprick on the outer leg". */
function place(kind: string, site: string, modality?: string): string {
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
      return `muscle bulk for ${plain(site)}`;
    case 'fasciculation':
      return `fasciculation in the muscles for ${plain(site)}`;
    case 'sensation': {
      const word = modalityWords[(modality ?? 'light-touch') as Modality] ?? plain(modality ?? '');
      const skin = site as Parameters<typeof isPatch>[0];
      if (site.startsWith('level-')) return `${word} below ${site.slice('level-'.length)}`;
      return `${word} ${distributions[site] ?? `on the ${isPatch(skin) ? patchOf(skin).name : plain(site)}`}`;
    }
    case 'context':
      return circumstances[site] ?? plain(site);
    default:
      return plain(site);
  }
}

const sideWord = (side: Side): string => (side === 'midline' ? '' : ` ${side}`);

/** "ankle jerk left 0", "ankle dorsiflexion right 3/5", "plantar response left extensor". */
function finding(found: Finding): string {
  const modality = found.kind === 'sensation' ? found.modality : undefined;
  const where = place(found.kind, found.site, modality) + sideWord(found.side);
  if (found.kind === 'strength') return `${where} ${found.value}/5`;
  if (found.kind === 'context' && found.site === 'onset')
    return found.value === 'sudden' ? 'sudden onset' : `onset over ${found.value}`;
  if (found.kind === 'context' && found.site === 'age') return `age ${found.value}`;
  if (found.kind === 'context') return found.value === 'absent' ? `no ${where}` : where;
  return `${where} ${plain(String(found.value))}`;
}

const qualities: Readonly<Record<string, string>> = {
  'delayed-relaxation': 'with delayed relaxation',
  crossed: 'crossing over',
  spread: 'spreading to others',
};

/** How the reasoning names what was examined and found, in English. Arcs and skin are named in anatomy/. */
export const placesEnglish: PlaceMessages = {
  place,
  finding,
  onBothSides: (words) => `${words} on both sides`,
  together: (findings, more, quality) => {
    const named = findings.join(', ') + (more > 0 ? ` and ${more} more` : '');
    return quality === undefined ? named : `${named}, ${qualities[quality] ?? plain(quality)}`;
  },
  cut: (focus) => (focus.group === 'nerve' ? nerves[focus.place].name : plain(focus.place)),
  item: (words, side) => {
    const sided = words + (side === 'midline' ? '' : `, ${side}`);
    return sided.charAt(0).toUpperCase() + sided.slice(1);
  },
};

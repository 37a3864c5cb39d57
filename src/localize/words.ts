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
export function findingWords(finding: Finding): string {
  const modality = finding.kind === 'sensation' ? finding.modality : undefined;
  const place = placeWords(finding.kind, finding.site, modality) + sideWord(finding.side);
  if (finding.kind === 'strength') return `${place} ${finding.value}/5`;
  if (finding.kind === 'context' && finding.site === 'onset')
    return finding.value === 'sudden' ? 'sudden onset' : `onset over ${finding.value}`;
  if (finding.kind === 'context' && finding.site === 'age') return `age ${finding.value}`;
  if (finding.kind === 'context') return finding.value === 'absent' ? `no ${place}` : place;
  return `${place} ${plain(String(finding.value))}`;
}

/** A quality of a reflex, said after it: "ankle jerk right 1+, with delayed relaxation". */
export const qualityWords = (quality: string): string =>
  quality === 'delayed-relaxation'
    ? ', with delayed relaxation'
    : `, ${qualities[quality] ?? plain(quality)}`;
const qualities: Readonly<Record<string, string>> = {
  crossed: 'crossing over',
  spread: 'spreading to others',
};

/** Of many findings that share one reason so many are named. */
const namedAtMost = 6;

/** Several findings in one breath: "ankle jerk 0 on both sides, knee jerk left 1+". */
export function togetherWords(findings: readonly Finding[]): string {
  const sides = new Map<string, Set<Side>>();
  const alike = (f: Finding): string => findingWords({ ...f, side: 'midline' });
  for (const f of findings) sides.set(alike(f), (sides.get(alike(f)) ?? new Set()).add(f.side));
  const named = [...sides].flatMap(([words, of]) =>
    of.has('left') && of.has('right')
      ? [`${words} on both sides`]
      : findings.filter((f) => alike(f) === words).map(findingWords),
  );
  const more = named.length - namedAtMost;
  return more > 1 ? `${named.slice(0, namedAtMost).join(', ')} and ${more} more` : named.join(', ');
}

/** An item as one asks for it: "Hip abduction, left". */
export function itemWords(kind: string, site: string, side: Side, modality?: string): string {
  const words = placeWords(kind, site, modality) + (side === 'midline' ? '' : `, ${side}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

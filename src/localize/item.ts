import type { Finding, Kind, Modality, Side } from '../exam/index.ts';
import type { Scale } from './scale.ts';
import { scales } from './scales.ts';

/** What can be examined: one site, one side, one modality; or a quality of a reflex as a whole. */
export interface Item {
  readonly kind: Kind | 'quality';
  readonly site: string;
  readonly side: Side;
  readonly modality?: Modality;
}

export const itemId = ({ kind, site, side, modality }: Item): string =>
  `${kind}:${site}:${side}${modality === undefined ? '' : `/${modality}`}`;

export const itemOf = (finding: Finding): Item => ({
  kind: finding.kind,
  site: finding.site,
  side: finding.side,
  ...(finding.kind === 'sensation' ? { modality: finding.modality } : {}),
});

const brisk = new Set(['hoffmann', 'tromner']);
const faintReflexes = new Set([
  'deltoid',
  'pectoralis',
  'finger-flexor',
  'adductor',
  'medial-hamstring',
  'lateral-hamstring',
  'jaw',
]);
/** Where age alone takes vibration. */
const feet = new Set([
  'stocking',
  'sole',
  'great-toe',
  'dorsum-of-foot',
  'lateral-foot',
  'first-web-space',
  'S1',
  'L5',
]);

export function scaleOf(item: Item): Scale {
  switch (item.kind) {
    case 'reflex':
      return item.site === 'achilles'
        ? scales.ankle
        : faintReflexes.has(item.site)
          ? scales.faint
          : scales.reflex;
    case 'sign':
      return brisk.has(item.site) ? scales.briskSign : scales.sign;
    case 'fasciculation':
      return scales.sign;
    case 'sensation':
      if (item.site.startsWith('level-')) return scales.level;
      return item.modality === 'vibration' && feet.has(item.site)
        ? scales.vibrationFeet
        : scales.sensation;
    case 'context':
      return item.site === 'onset' ? scales.onset : scales.circumstance;
    case 'quality':
      return scales.qualifier;
    default:
      return scales[item.kind];
  }
}

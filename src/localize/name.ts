import { nerves } from '../anatomy/index.ts';
import type { CordPattern, Focus, Lesion, LesionPlexus } from './lesion.ts';
import type { LesionSide } from './result.ts';

const patterns: Readonly<Record<CordPattern, string>> = {
  complete: 'the whole cord across',
  hemi: 'one half of the cord',
  central: 'centre of the cord',
  anterior: 'front of the cord',
  posterolateral: 'posterior and lateral columns',
};

const plexuses: Readonly<Record<LesionPlexus, string>> = {
  'brachial-upper-trunk': 'upper trunk of the brachial plexus',
  'brachial-middle-trunk': 'middle trunk of the brachial plexus',
  'brachial-lower-trunk': 'lower trunk of the brachial plexus',
  lumbar: 'lumbar plexus',
  sacral: 'sacral plexus',
};

/** What a site is called, without its side. */
export function focusName(focus: Focus): string {
  switch (focus.group) {
    case 'no-lesion':
      return 'no lesion: normal, or variation within normal';
    case 'hemisphere':
      return 'cerebral hemisphere';
    case 'internal-capsule':
      return 'internal capsule';
    case 'cerebellum':
      return 'cerebellum';
    case 'brainstem':
      return focus.place;
    case 'cord':
      return `spinal cord at ${focus.level}, ${patterns[focus.pattern]}`;
    case 'conus':
      return 'conus medullaris';
    case 'cauda-equina':
      return 'cauda equina';
    case 'motor-neuron':
      return 'upper and lower motor neurons (motor neuron disease)';
    case 'anterior-horn':
      return 'anterior horn cells';
    case 'root':
      return `${focus.level} root`;
    case 'plexus':
      return plexuses[focus.place];
    case 'nerve':
      return nerves[focus.place].name;
    case 'polyneuropathy':
      return focus.place === 'length-dependent'
        ? 'length-dependent polyneuropathy'
        : 'demyelinating polyradiculoneuropathy';
    case 'junction':
      return focus.place === 'postsynaptic'
        ? 'neuromuscular junction, postsynaptic (myasthenic)'
        : 'neuromuscular junction, presynaptic (Lambert-Eaton, botulism)';
    case 'muscle':
      return 'proximal muscle disease';
    case 'systemic':
      return {
        hypermagnesaemia: 'raised magnesium',
        hypothyroid: 'low thyroid',
        hyperthyroid: 'high thyroid',
        hypocalcaemia: 'low calcium',
      }[focus.place];
  }
}

/** Diseases that are of both sides by nature are named without a side. */
const sideless = new Set([
  'no-lesion',
  'conus',
  'motor-neuron',
  'polyneuropathy',
  'junction',
  'muscle',
  'systemic',
]);

/** "L5 root, left". */
export function lesionName({ focus, side }: Pick<Lesion, 'focus' | 'side'>): string {
  const name = focusName(focus);
  if (sideless.has(focus.group)) return name;
  if (focus.group === 'cord' && side === 'both') return name;
  return `${name}, ${sideName(side)}`;
}

export const sideName = (side: LesionSide): string =>
  side === 'both' ? 'both sides' : side === 'none' ? '' : side;

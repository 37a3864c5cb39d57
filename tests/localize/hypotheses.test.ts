import { expect, test } from 'vitest';
import { bedside } from '../../src/localize/bedside.ts';
import { coursesOf } from '../../src/localize/courses.ts';
import { itemId } from '../../src/localize/item.ts';
import { lesions } from '../../src/localize/lesion.ts';
import { pairsOf } from '../../src/localize/pair.ts';
import { priors } from '../../src/localize/prior.ts';
import { codeOf } from '../../src/localize/state.ts';

const sided = ['left', 'right', 'both'];
const cordLevels = [
  ...['C1', 'C2', 'C3', 'C4', 'C5', 'C6', 'C7', 'C8'],
  ...['T1', 'T2', 'T3', 'T4', 'T5', 'T6', 'T7', 'T8', 'T9', 'T10', 'T11', 'T12', 'L1'],
];
const rootLevels = [
  ...['C5', 'C6', 'C7', 'C8'],
  ...['T1', 'T2', 'T3', 'T4', 'T5', 'T6', 'T7', 'T8', 'T9', 'T10', 'T11', 'T12'],
  ...['L1', 'L2', 'L3', 'L4', 'L5', 'S1', 'S2'],
];
const nerves =
  'axillary musculocutaneous suprascapular long-thoracic radial-axilla radial-spiral-groove posterior-interosseous median-elbow anterior-interosseous median-wrist ulnar-elbow ulnar-wrist femoral lateral-femoral-cutaneous obturator sciatic tibial common-fibular deep-fibular superficial-fibular'.split(
    ' ',
  );
/** The contract's sites of lesion, section 3, each with the sides it may be on. */
const contract: readonly (readonly [site: string, sides: readonly string[]])[] = [
  ['hemisphere', sided],
  ['internal-capsule', sided],
  ...['midbrain', 'pons', 'medulla'].map((p) => [`brainstem:${p}`, sided] as const),
  ...cordLevels.flatMap((level) => [
    [`cord:${level}:complete`, ['both']] as const,
    [`cord:${level}:hemi`, ['left', 'right']] as const,
    [`cord:${level}:central`, sided] as const,
    [`cord:${level}:anterior`, ['both']] as const,
    [`cord:${level}:posterolateral`, ['both']] as const,
  ]),
  ['conus', ['both']],
  ['cauda-equina', sided],
  ['motor-neuron', ['both']],
  ['anterior-horn', sided],
  ...rootLevels.map((level) => [`root:${level}`, sided] as const),
  ...['brachial-upper-trunk', 'brachial-middle-trunk', 'brachial-lower-trunk'].map(
    (p) => [`plexus:${p}`, sided] as const,
  ),
  ['plexus:lumbar', sided],
  ['plexus:sacral', sided],
  ...nerves.map((nerve) => [`nerve:${nerve}`, sided] as const),
  ['polyneuropathy:length-dependent', ['both']],
  ['polyneuropathy:demyelinating', ['both']],
  ['junction:postsynaptic', ['both']],
  ['junction:presynaptic', ['both']],
  ['muscle:proximal', ['both']],
  ...['hypermagnesaemia', 'hypothyroid', 'hyperthyroid', 'hypocalcaemia'].map(
    (p) => [`systemic:${p}`, ['both']] as const,
  ),
  ['cerebellum', sided],
  ['no-lesion', ['none']],
];

test('every site of the contract is a hypothesis on every side it can be on, and no other is', () => {
  const wanted = contract.flatMap(([site, sides]) => sides.map((side) => `${site} ${side}`));
  expect(lesions.map(({ site, side }) => `${site} ${side}`).sort()).toEqual(wanted.sort());
});

test('every lesion changes something that is examined at the bedside', () => {
  const healthy = lesions.find(({ site }) => site === 'no-lesion');
  const [well] = healthy === undefined ? [] : coursesOf(healthy);
  const silent = lesions.filter((lesion) => {
    if (lesion === healthy) return false;
    return !coursesOf(lesion).some((course) =>
      bedside.some(
        (item) =>
          item.kind !== 'context' &&
          healthy !== undefined &&
          well !== undefined &&
          codeOf(lesion, course, item) !== codeOf(healthy, well, item),
      ),
    );
  });
  expect(silent.map(({ site, side }) => `${site} ${side}`)).toEqual([]);
});

test.each([
  ['cord with the root at its level', 'cord:C6:complete both', 'root:C6 left'],
  ['cord with a root of the legs', 'cord:C5:complete both', 'root:L5 right'],
  ['root with polyneuropathy', 'root:L5 left', 'polyneuropathy:length-dependent both'],
  ['two roots of one side', 'root:L5 left', 'root:S1 left'],
  ['two roots, left and right', 'root:L4 left', 'root:L5 right'],
  ['cord with polyneuropathy', 'cord:T8:complete both', 'polyneuropathy:length-dependent both'],
  ['root and nerve of one arm', 'root:C6 right', 'nerve:median-wrist right'],
  ['nerve with polyneuropathy', 'nerve:median-wrist left', 'polyneuropathy:length-dependent both'],
])('pairs of lesions: %s', (_, one, two) => {
  const name = (i: number): string => `${lesions[i]?.site} ${lesions[i]?.side}`;
  const pair = pairsOf(lesions, priors(lesions)).find(
    ({ first, second }) =>
      (name(first) === one && name(second) === two) ||
      (name(first) === two && name(second) === one),
  );
  expect(pair?.weight).toBeGreaterThan(0);
});

test('the bedside asks for each thing once', () => {
  expect(new Set(bedside.map(itemId)).size).toBe(bedside.length);
});

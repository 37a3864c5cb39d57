import type { arcs, movementTable, muscles } from '../../src/anatomy/index.ts';
import { fibres, mix, type Place, segmentsOf, shareThrough } from '../../src/anatomy/index.ts';

/**
 * What published tables say, held against our rows. Every entry names its work. The check takes the
 * tables as an argument, so that a planted wrong row can be shown to be caught.
 */
export interface Tables {
  readonly muscles: typeof muscles;
  readonly movements: typeof movementTable;
  readonly arcs: typeof arcs;
}

/** ISNCSCI 2019 worksheet: key muscle of each level. */
const keyMuscles = [
  ['C5', 'elbow-flexion'],
  ['C6', 'wrist-extension'],
  ['C7', 'elbow-extension'],
  ['C8', 'finger-flexion'],
  ['T1', 'finger-abduction'],
  ['L2', 'hip-flexion'],
  ['L3', 'knee-extension'],
  ['L4', 'ankle-dorsiflexion'],
  ['L5', 'great-toe-extension'],
  ['S1', 'ankle-plantarflexion'],
] as const;

/** Spans of reflex arcs, one row a handbook , and the root most name as principal. */
const arcSpans = [
  ['biceps', 'C5', 'C6', 'StatPearls; Loyola; McGraw-Hill; Michigan State'],
  ['brachioradialis', 'C5', 'C6', 'StatPearls; Loyola; McGraw-Hill'],
  ['brachioradialis', 'C6', 'C7', 'passmyclinicalexamination'],
  ['triceps', 'C7', 'C8', 'StatPearls; Loyola; clinicalexam.com'],
  ['triceps', 'C6', 'C7', 'McGraw-Hill; passmyclinicalexamination'],
  ['triceps', 'C6', 'C8', 'oganatomy; University of Alberta'],
  ['finger-flexor', 'C7', 'T1', 'clinicalexam.com'],
  ['pectoralis', 'C5', 'T1', 'DeJong'],
  ['patellar', 'L2', 'L4', 'StatPearls; McGraw-Hill; Loyola; oganatomy'],
  ['patellar', 'L3', 'L4', 'clinicalexam.com; passmyclinicalexamination'],
  ['medial-hamstring', 'L5', 'S1', 'Felsenthal 1982'],
  ['lateral-hamstring', 'L5', 'S1', 'DeJong'],
  ['achilles', 'S1', 'S2', 'StatPearls; clinicalexam.com; oganatomy'],
] as const;

const principals = [
  ['triceps', 'C7', 'all handbooks agree'],
  ['brachioradialis', 'C6', 'Michigan State'],
  ['patellar', 'L4', 'orthopaedic texts; common practice'],
  ['medial-hamstring', 'L5', 'McGee, chapter 64'],
  ['achilles', 'S1', 'Loyola; McGraw-Hill; Michigan State'],
] as const;

/** Movement, a place, and whether a cut there takes it: nerve against nerve, root against root. */
const cuts: readonly (readonly [
  movement: keyof Tables['movements'],
  place: Place,
  taken: 'all' | 'none' | 'most',
  source: string,
])[] = [
  ['ankle-inversion', 'nerve:common-fibular', 'none', 'look-alikes: L5 root and common fibular'],
  ['ankle-dorsiflexion', 'nerve:common-fibular', 'all', 'look-alikes: L5 root and common fibular'],
  ['ankle-eversion', 'nerve:deep-fibular', 'none', 'neupsykey, unilateral foot drop'],
  ['ankle-eversion', 'nerve:superficial-fibular', 'all', 'neupsykey, unilateral foot drop'],
  ['hip-abduction', 'root:L5', 'most', 'Jeon 2013'],
  ['hip-abduction', 'nerve:sciatic', 'none', 'WikiCNS: superior gluteal nerve'],
  ['great-toe-extension', 'root:L5', 'most', 'gpnotebook; ISNCSCI'],
  ['knee-extension', 'nerve:femoral', 'all', 'WikiCNS'],
  ['hip-adduction', 'nerve:femoral', 'none', 'Watson, case 1'],
  ['hip-adduction', 'nerve:obturator', 'most', 'WikiCNS'],
  ['knee-flexion', 'nerve:sciatic', 'all', 'learnhaem'],
  ['knee-flexion', 'nerve:tibial', 'none', 'look-alikes: S1 root and tibial'],
  ['ankle-plantarflexion', 'nerve:tibial', 'all', 'WikiCNS'],
  [
    'elbow-extension',
    'nerve:radial-spiral-groove',
    'none',
    'umem pearl 2022: triceps kept at the groove',
  ],
  ['elbow-extension', 'nerve:radial-axilla', 'all', 'Table A'],
  ['elbow-extension', 'root:C7', 'most', 'Table A; ISNCSCI'],
  ['brachioradialis', 'nerve:radial-spiral-groove', 'all', 'umem pearl 2022'],
  ['brachioradialis', 'nerve:posterior-interosseous', 'none', 'posttakeround'],
  ['finger-extension', 'nerve:posterior-interosseous', 'all', 'Table A'],
  ['wrist-flexion', 'nerve:radial-axilla', 'none', 'look-alikes: C7 root and radial'],
  ['elbow-flexion', 'nerve:musculocutaneous', 'most', 'Table A'],
  ['shoulder-abduction', 'nerve:axillary', 'most', 'Table A'],
  ['shoulder-external-rotation', 'nerve:suprascapular', 'most', 'Table A'],
  ['scapular-protraction', 'nerve:long-thoracic', 'all', 'Table A'],
  [
    'scapular-protraction',
    'plexus:brachial-upper-trunk',
    'none',
    'look-alikes: upper trunk and C5-6 roots',
  ],
  ['shoulder-abduction', 'plexus:brachial-upper-trunk', 'all', 'GPnotebook, upper trunk'],
  ['elbow-extension', 'plexus:brachial-upper-trunk', 'none', 'GPnotebook: triceps kept'],
  ['thumb-abduction', 'nerve:median-wrist', 'all', 'University of Alberta'],
  ['thumb-flexion', 'nerve:median-wrist', 'none', 'Watson, case 5'],
  ['thumb-flexion', 'nerve:anterior-interosseous', 'all', 'Table A'],
  ['thumb-abduction', 'nerve:ulnar-elbow', 'none', 'look-alikes: C8-T1 root and ulnar'],
  ['finger-abduction', 'nerve:ulnar-elbow', 'all', 'University of Alberta'],
  ['finger-abduction', 'nerve:ulnar-wrist', 'all', 'University of Alberta'],
  ['wrist-flexion', 'nerve:ulnar-wrist', 'none', 'Katirji case: FCU kept'],
  [
    'finger-abduction',
    'plexus:brachial-lower-trunk',
    'all',
    'pattern table after Brazis, DeJong and Blumenfeld',
  ],
];

const bounds = { all: [0.95, 1], most: [0.5, 1], none: [0, 0.2] } as const;

/** Everything in the tables that the references contradict, in words. */
export function contradictions({
  muscles: ours,
  movements,
  arcs: ourArcs,
}: Tables): readonly string[] {
  const faults: string[] = [];
  const bundle = (movement: keyof Tables['movements']) =>
    mix(
      movements[movement].muscles.map(([id, share]) => [
        fibres(ours[id].roots, [[ours[id].nerve, 1]]),
        share,
      ]),
    );
  for (const [level, movement] of keyMuscles) {
    const shares = segmentsOf(bundle(movement));
    const own = shares.find(([segment]) => segment === level)?.[1] ?? 0;
    const top = shares[0]?.[1] ?? 0;
    if (own < 0.3 || top - own > 0.25) {
      faults.push(
        `${movement} is the key muscle of ${level} (ISNCSCI), here ${own.toFixed(2)} of ${top.toFixed(2)}`,
      );
    }
  }
  for (const [site, first, last, source] of arcSpans) {
    const roots = ourArcs[site].roots.map(([segment]) => segment as string);
    for (const root of [first, last]) {
      if (!roots.includes(root)) faults.push(`${site} reflex lacks ${root} (${source})`);
    }
  }
  for (const [site, root, source] of principals) {
    const [top] = [...ourArcs[site].roots].sort((a, b) => b[1] - a[1]);
    if (top?.[0] !== root)
      faults.push(`${site} reflex leans on ${top?.[0]}, not ${root} (${source})`);
  }
  for (const [movement, place, taken, source] of cuts) {
    const share = shareThrough(bundle(movement), place);
    const [least, most] = bounds[taken];
    if (share < least || share > most) {
      faults.push(
        `a cut at ${place} takes ${share.toFixed(2)} of ${movement}; ${source} says ${taken}`,
      );
    }
  }
  return faults;
}

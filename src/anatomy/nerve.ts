import type { SourceKey } from './source.ts';

/**
 * A nerve from a place on it downwards. The place is where it may be cut; muscles and skin hang on
 * the lowest place they still lie beyond, so a branch given off above stays whole.
 */
export interface NervePlace {
  /** The place above on the same nerve, where there is one. */
  readonly above?: NerveId;
  /**
   * How it comes out of the roots. `upper-trunk`: leaves the trunk; `lateral`, `posterior`, `medial`:
   * the cords of the brachial plexus; `median`: lateral cord for C5-7, medial for C8-T1; `direct`: straight off the roots.
   */
  readonly from:
    | 'direct'
    | 'upper-trunk'
    | 'lateral'
    | 'posterior'
    | 'medial'
    | 'median'
    | 'lumbar'
    | 'sacral';
  readonly name: string;
  readonly source: readonly SourceKey[];
}

const place = (
  from: NervePlace['from'],
  name: string,
  source: readonly SourceKey[],
  above?: string,
): NervePlace => ({
  from,
  name,
  source,
  ...(above === undefined ? {} : { above: above as NerveId }),
});

const table = {
  accessory: place('direct', 'accessory nerve', ['tableA']),
  cervical: place('direct', 'cervical branches', ['memory']),
  intercostal: place('direct', 'intercostal nerves', ['memory']),
  'dorsal-scapular': place('direct', 'dorsal scapular nerve', ['tableA']),
  'long-thoracic': place('direct', 'long thoracic nerve', ['tableA']),
  suprascapular: place('upper-trunk', 'suprascapular nerve', ['tableA']),
  'lateral-pectoral': place('lateral', 'lateral pectoral nerve', ['tableA']),
  'medial-pectoral': place('medial', 'medial pectoral nerve', ['tableA']),
  thoracodorsal: place('posterior', 'thoracodorsal nerve', ['tableA']),
  axillary: place('posterior', 'axillary nerve', ['tableA']),
  musculocutaneous: place('lateral', 'musculocutaneous nerve', ['tableA']),
  'medial-cutaneous-forearm': place('medial', 'medial cutaneous nerve of the forearm', ['memory']),
  'radial-axilla': place('posterior', 'radial nerve in the axilla', ['tableA', 'asj']),
  'radial-spiral-groove': place(
    'posterior',
    'radial nerve at the spiral groove',
    ['tableA', 'asj'],
    'radial-axilla',
  ),
  'superficial-radial': place(
    'posterior',
    'superficial radial nerve',
    ['memory'],
    'radial-spiral-groove',
  ),
  'posterior-interosseous': place(
    'posterior',
    'posterior interosseous nerve',
    ['tableA', 'asj'],
    'radial-spiral-groove',
  ),
  'median-elbow': place('median', 'median nerve at the elbow', ['tableA', 'alberta']),
  'anterior-interosseous': place(
    'median',
    'anterior interosseous nerve',
    ['tableA', 'alberta'],
    'median-elbow',
  ),
  'median-wrist': place(
    'median',
    'median nerve at the wrist',
    ['alberta', 'watson'],
    'median-elbow',
  ),
  'ulnar-elbow': place('medial', 'ulnar nerve at the elbow', ['alberta', 'brazis']),
  'ulnar-wrist': place('medial', 'ulnar nerve at the wrist', ['alberta', 'brazis'], 'ulnar-elbow'),
  'lumbar-branches': place('lumbar', 'branches of the lumbar plexus', ['memory']),
  femoral: place('lumbar', 'femoral nerve', ['wikiCns', 'watson']),
  'lateral-femoral-cutaneous': place('lumbar', 'lateral femoral cutaneous nerve', ['memory']),
  obturator: place('lumbar', 'obturator nerve', ['wikiCns']),
  'superior-gluteal': place('sacral', 'superior gluteal nerve', ['wikiCns']),
  'inferior-gluteal': place('sacral', 'inferior gluteal nerve', ['wikiCns']),
  'posterior-femoral-cutaneous': place('sacral', 'posterior femoral cutaneous nerve', ['memory']),
  pudendal: place('sacral', 'pudendal nerve', ['fpNotebook']),
  sciatic: place('sacral', 'sciatic nerve', ['wikiCns']),
  tibial: place('sacral', 'tibial nerve', ['wikiCns'], 'sciatic'),
  'common-fibular': place('sacral', 'common fibular nerve', ['wikiCns'], 'sciatic'),
  'deep-fibular': place('sacral', 'deep fibular nerve', ['wikiCns'], 'common-fibular'),
  'superficial-fibular': place(
    'sacral',
    'superficial fibular nerve',
    ['wikiCns'],
    'common-fibular',
  ),
} as const satisfies Readonly<Record<string, NervePlace>>;

export type NerveId = keyof typeof table;
export const nerves: Readonly<Record<NerveId, NervePlace>> = table;
export const nerveIds = Object.keys(table) as readonly NerveId[];
export const isNerve = (word: string): word is NerveId => word in table;

/** The places a fibre passes on its nerve, from above down to where it leaves. */
export function nerveChain(nerve: NerveId): readonly NerveId[] {
  const { above } = nerves[nerve];
  return above === undefined ? [nerve] : [...nerveChain(above), nerve];
}

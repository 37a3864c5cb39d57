import { type Finding, itemKey } from '../exam/index.ts';
import { type Item, itemOf, scaleOf } from './item.ts';
import type { Scale } from './scale.ts';

/** A finding as the inference takes it in. */
export interface Evidence {
  readonly finding: Finding;
  readonly item: Item;
  readonly scale: Scale;
  /** Place in `scale.values`. */
  readonly value: number;
}

export interface Weighed {
  readonly evidence: readonly Evidence[];
  /** Years, where told. */
  readonly age: number | undefined;
  /** Findings that a later one about the same item replaced with another value. */
  readonly replaced: readonly { readonly by: Finding; readonly earlier: Finding }[];
}

/** What is written in the order of items, so that order of recording has no say. */
const byItem = (a: Evidence, b: Evidence): number => {
  const [x, y] = [key(a.item), key(b.item)];
  return x < y ? -1 : x > y ? 1 : 0;
};
const key = ({ kind, site, side, modality }: Item): string =>
  `${kind}/${site}/${modality ?? ''}/${side}`;

/**
 * Findings ready to be weighed: what was not tested is left out, and of several findings about one
 * item only the last counts, so that nothing is counted twice.
 */
export function weigh(findings: readonly Finding[]): Weighed {
  const last = new Map<string, Finding>();
  const replaced: { by: Finding; earlier: Finding }[] = [];
  for (const finding of findings) {
    if (finding.value === 'not-tested') continue;
    const item = itemKey(finding);
    const earlier = last.get(item);
    if (earlier !== undefined && earlier.value !== finding.value)
      replaced.push({ by: finding, earlier });
    last.set(item, finding);
  }
  const evidence: Evidence[] = [];
  const qualities = new Map<string, Evidence>();
  let age: number | undefined;
  for (const finding of last.values()) {
    if (finding.kind === 'context' && finding.site === 'age') {
      if (typeof finding.value === 'number') age = finding.value;
      continue;
    }
    const item = itemOf(finding);
    const scale = scaleOf(item);
    const value = scale.values.indexOf(gradeOf(finding));
    if (value >= 0) evidence.push({ finding, item, scale, value });
    if (finding.kind === 'reflex') {
      for (const quality of finding.qualifiers ?? []) {
        const told = qualityOf(finding, quality);
        // One quality counts once on each side, however many reflexes show it.
        if (told !== undefined) qualities.set(key(told.item), told);
      }
    }
  }
  evidence.push(...qualities.values());
  return { evidence: evidence.sort(byItem), age, replaced };
}

/** Up to three beats may be normal and count as `few`. */
const fewBeats = 3;

function gradeOf(finding: Finding): string {
  if (finding.kind === 'clonus' && finding.beats !== undefined && finding.value !== 'absent') {
    if (finding.beats <= fewBeats) return 'few';
    if (finding.beats >= 10) return 'sustained';
  }
  return String(finding.value);
}

/** Said of the whole patient, or of one side where the quality belongs to a side. */
const general = new Set(['delayed-relaxation', 'pendular']);
const ofOneReflex = new Set(['inverted', 'crossed', 'spread']);

function qualityOf(finding: Finding, quality: string): Evidence | undefined {
  const isGeneral = general.has(quality);
  if (!isGeneral && !ofOneReflex.has(quality)) return undefined;
  if (quality === 'inverted' && finding.site !== 'brachioradialis') return undefined;
  const item: Item = { kind: 'quality', site: quality, side: isGeneral ? 'midline' : finding.side };
  return { finding, item, scale: scaleOf(item), value: 0 };
}

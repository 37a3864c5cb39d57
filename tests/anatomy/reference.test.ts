import { describe, expect, test } from 'vitest';
import {
  arcs,
  dermatomePatches,
  fibres,
  isNerve,
  movementTable,
  muscles,
  nerveChain,
  nerveIds,
  plantarArc,
  regions,
  segmentShares,
  shareThrough,
  skinBundle,
  sources,
  superficialArcs,
} from '../../src/anatomy/index.ts';
import { movements, reflexSites, skinRegions, superficialSites } from '../../src/exam/index.ts';
import { contradictions } from './reference.ts';

const ours = { muscles, movements: movementTable, arcs };

describe('the tables against the handbooks', () => {
  test('nothing contradicts ISNCSCI, the reflex handbooks or the look-alike tables', () => {
    expect(contradictions(ours)).toEqual([]);
  });

  test.each([
    [
      'triceps moved to C5',
      {
        ...ours,
        muscles: {
          ...muscles,
          triceps: { ...muscles.triceps, roots: segmentShares('C5 .6 C6 .4') },
        },
      },
      /elbow-extension/,
    ],
    [
      'tibialis posterior hung on the common fibular',
      {
        ...ours,
        muscles: {
          ...muscles,
          tibialisPosterior: { ...muscles.tibialisPosterior, nerve: 'deep-fibular' as const },
        },
      },
      /ankle-inversion/,
    ],
    [
      'the ankle jerk at L4',
      { ...ours, arcs: { ...arcs, achilles: { ...arcs.achilles, roots: segmentShares('L4') } } },
      /achilles/,
    ],
    [
      'abductor pollicis brevis given to the ulnar',
      {
        ...ours,
        muscles: { ...muscles, thenar: { ...muscles.thenar, nerve: 'ulnar-wrist' as const } },
      },
      /thumb-abduction/,
    ],
    [
      'serratus taken through the upper trunk',
      {
        ...ours,
        muscles: { ...muscles, serratus: { ...muscles.serratus, nerve: 'suprascapular' as const } },
      },
      /scapular-protraction/,
    ],
  ])('a planted wrong row is caught: %s', (_, planted, names) => {
    expect(contradictions(planted).join('\n')).toMatch(names);
  });
});

describe('the tables are whole', () => {
  test('every strength site, every reflex and every skin region has a row with a source', () => {
    for (const movement of movements)
      expect(movementTable[movement].muscles.length).toBeGreaterThan(0);
    for (const site of reflexSites)
      if (site !== 'jaw') expect(arcs[site].source.length).toBeGreaterThan(0);
    for (const region of skinRegions)
      if (region !== 'face') expect(regions[region].source.length).toBeGreaterThan(0);
    for (const site of superficialSites)
      expect(superficialArcs[site].source.length).toBeGreaterThan(0);
    expect(plantarArc.source.length).toBeGreaterThan(0);
    expect(dermatomePatches.size).toBe(29);
    for (const { source } of Object.values(muscles))
      for (const key of source) expect(sources[key]).toBeTruthy();
  });

  test('a row whose shares do not add to 1 is refused', () => {
    expect(() => segmentShares('C5 .5 C6 .4')).toThrow(/adds to 0.9/);
    expect(() => segmentShares('C5 .5 X9 .5')).toThrow(/X9/);
  });

  test('a cut at the segment or at the root takes the same share, and a whole nerve takes all', () => {
    const quadriceps = fibres(muscles.quadriceps.roots, [['femoral', 1]]);
    expect(shareThrough(quadriceps, 'segment:L3')).toBeCloseTo(shareThrough(quadriceps, 'root:L3'));
    expect(shareThrough(quadriceps, 'nerve:femoral')).toBeCloseTo(1);
    expect(shareThrough(quadriceps, 'plexus:lumbar')).toBeCloseTo(1);
    expect(shareThrough(quadriceps, 'nerve:obturator')).toBe(0);
  });

  test('every nerve hangs on known places, ending in itself', () => {
    for (const nerve of nerveIds) {
      const chain = nerveChain(nerve);
      expect(chain.at(-1)).toBe(nerve);
      expect(chain.every(isNerve)).toBe(true);
    }
  });

  test('carpal tunnel spares the palm, and the ulnar nerve the inner forearm (Watson; Brazis)', () => {
    expect(shareThrough(skinBundle('palm'), 'nerve:median-wrist')).toBe(0);
    expect(shareThrough(skinBundle('palm'), 'nerve:median-elbow')).toBeGreaterThan(0.5);
    expect(shareThrough(skinBundle('medial-forearm'), 'nerve:ulnar-elbow')).toBe(0);
    expect(shareThrough(skinBundle('first-web-space'), 'nerve:deep-fibular')).toBeCloseTo(1);
  });
});

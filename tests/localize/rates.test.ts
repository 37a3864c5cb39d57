import { describe, expect, test } from 'vitest';
import { baselineShares, baselines } from '../../src/localize/baseline.ts';
import { coursesOf } from '../../src/localize/courses.ts';
import { type Item, scaleOf } from '../../src/localize/item.ts';
import { lesions } from '../../src/localize/lesion.ts';
import { codeOf } from '../../src/localize/state.ts';

/** How often an item is found with one of these values, over all courses of a lesion and all baselines. */
function rate(
  [site, side]: readonly [site: string, side: string],
  item: Item,
  values: readonly string[],
  age?: number,
): number {
  const lesion = lesions.find((l) => l.site === site && l.side === side);
  if (lesion === undefined) throw new Error(`no lesion ${site} ${side}`);
  const scale = scaleOf(item);
  const shares = baselineShares(age);
  return coursesOf(lesion).reduce(
    (sum, course) =>
      sum +
      course.weight *
        baselines.reduce((part, baseline, b) => {
          const chances = scale.chances(codeOf(lesion, course, item), baseline);
          const found = values.reduce((p, v) => p + (chances[scale.values.indexOf(v)] ?? 0), 0);
          return part + (shares[b] ?? 0) * found;
        }, 0),
    0,
  );
}

const health = ['no-lesion', 'none'] as const;
const left = 'left' as const;
const reflex = (site: string): Item => ({ kind: 'reflex', site, side: left });
const sign = (site: string): Item => ({ kind: 'sign', site, side: left });
const abdominal: Item = { kind: 'superficial', site: 'abdominal-upper', side: left };
const toe: Item = { kind: 'plantar', site: 'foot', side: left };
const toeVibration: Item = {
  kind: 'sensation',
  site: 'great-toe',
  side: left,
  modality: 'vibration',
};
const inverted: Item = { kind: 'quality', site: 'inverted', side: left };
const slow: Item = { kind: 'quality', site: 'delayed-relaxation', side: 'midline' };

/** The published rate, widened to the range of the series where there are several. */
describe('the tables give the published rates', () => {
  test.each<
    [
      what: string,
      lesion: readonly [string, string],
      item: Item,
      values: readonly string[],
      range: readonly [number, number],
      age: number | undefined,
    ]
  >([
    [
      'no ankle jerk at 65 (Vrancken 2006: 23 %, 16-30)',
      health,
      reflex('achilles'),
      ['0'],
      [0.16, 0.3],
      65,
    ],
    [
      'no ankle jerk at 30 (Vrancken 2006: none under 60)',
      health,
      reflex('achilles'),
      ['0'],
      [0, 0.05],
      30,
    ],
    [
      'vibration dull at the toe at 65 (Vrancken 2006: 29 %, 18-38)',
      health,
      toeVibration,
      ['reduced', 'absent'],
      [0.18, 0.38],
      65,
    ],
    [
      'Hoffmann in the public (Gruenberger 2023: 2-3 %)',
      health,
      sign('hoffmann'),
      ['present'],
      [0.015, 0.06],
      undefined,
    ],
    [
      'Hoffmann in a cord lesion (Cook 2009: 44 %; Fogarty 2018, Gibson 2018: 59 %)',
      ['cord:C5:complete', 'both'],
      sign('hoffmann'),
      ['present'],
      [0.4, 0.65],
      undefined,
    ],
    [
      'the toe up in health (Isaza Jaramillo 2014: 1 %; Appasamy 2018: 14 %)',
      health,
      toe,
      ['extensor'],
      [0.005, 0.142],
      undefined,
    ],
    [
      'the toe up where the tract is lost (Appasamy 2018: 50 %; Gil: 84 %)',
      ['internal-capsule', 'right'],
      toe,
      ['extensor'],
      [0.45, 0.84],
      undefined,
    ],
    [
      'abdominal reflex missing in health (DeJong: 15 % all, 11 % one)',
      health,
      abdominal,
      ['absent', 'reduced'],
      [0.15, 0.26],
      undefined,
    ],
    [
      'inverted brachioradialis in health (Kiely 2010: 17-28 %)',
      health,
      inverted,
      ['present'],
      [0.1, 0.28],
      undefined,
    ],
    [
      'inverted brachioradialis in a cord lesion at its level (Gibson 2018: 51 %; Cook 2009: 61 %)',
      ['cord:C6:complete', 'both'],
      inverted,
      ['present'],
      [0.3, 0.61],
      undefined,
    ],
    [
      'slow relaxation in low thyroid (CMAJ 2008: 75 %)',
      ['systemic:hypothyroid', 'both'],
      slow,
      ['present'],
      [0.6, 0.8],
      undefined,
    ],
    [
      'Spurling in a cervical root (Wainner 2003: 50 %)',
      ['root:C6', 'left'],
      sign('spurling'),
      ['present'],
      [0.4, 0.6],
      undefined,
    ],
  ])('%s', (_, lesion, item, values, [least, most], age) => {
    const found = rate(lesion, item, values, age);
    expect(found).toBeGreaterThanOrEqual(least);
    expect(found).toBeLessThanOrEqual(most);
  });
});

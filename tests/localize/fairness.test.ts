import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import {
  type Finding,
  kinds,
  type Lateral,
  laterality,
  mirror,
  vocabulary,
} from '../../src/exam/index.ts';
import { bedside } from '../../src/localize/bedside.ts';
import { coursesOf } from '../../src/localize/courses.ts';
import { type Hypothesis, localize, startLocalizer } from '../../src/localize/index.ts';
import { type Item, scaleOf } from '../../src/localize/item.ts';
import { lesions } from '../../src/localize/lesion.ts';
import { codeOf } from '../../src/localize/state.ts';
import { readCases } from './caseText.ts';
import { findings } from './examiner.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

const anyFinding: fc.Arbitrary<Finding> = fc
  .constantFrom(...bedside)
  .chain((item) =>
    fc
      .constantFrom(...scaleOf(item).values.filter((v) => v !== 'few'))
      .map((value) => ({ ...item, value }) as unknown as Finding),
  );
const exam = fc.uniqueArray(anyFinding, {
  minLength: 1,
  maxLength: 15,
  selector: (f) => JSON.stringify({ ...f, value: 0 }),
});
const runs = { numRuns: 25 };

const flip = (f: Finding): Finding =>
  f.side === 'midline' ? f : ({ ...f, side: mirror(f.side as Lateral) } as Finding);
const flipSide = (side: string): string =>
  side === 'left' ? 'right' : side === 'right' ? 'left' : side;
type Ranked = ReturnType<ReturnType<typeof startLocalizer>['ranking']>['hypotheses'];
const table = (
  hypotheses: Ranked,
  turn: (side: string) => string = (s) => s,
): Map<string, number> =>
  new Map(
    hypotheses.map((h) => [
      (h.sites ?? [h])
        .map((s) => `${s.site}/${turn(s.side)}`)
        .sort()
        .join(' + '),
      h.probability,
    ]),
  );
const all = 5000;
const folder = new URL('./cases/', import.meta.url);
const flipWords = (words: string): string => words.replace(/\b(left|right)\b/g, flipSide);
const argument = ({ explains, against, unexplained }: Hypothesis): readonly string[] =>
  [...explains, ...against, ...unexplained].map(({ text }) => text);

describe('no favours', () => {
  test('left and right mirror exactly', () => {
    fc.assert(
      fc.property(exam, (given) => {
        // Aphasia is the one exception: the left hemisphere is dominant.
        const fair = given.filter((f) => f.site !== 'aphasia');
        const here = table(startLocalizer().add(fair).ranking(all).hypotheses);
        const there = table(startLocalizer().add(fair.map(flip)).ranking(all).hypotheses, flipSide);
        for (const [site, p] of here) expect(there.get(site)).toBe(p);
      }),
      runs,
    );
  });

  test.each(readdirSync(folder).filter((name) => name.endsWith('.txt')))(
    'left and right mirror to the last digit, and in words: %s',
    (name) => {
      const cases = readCases(readFileSync(new URL(name, folder), 'utf8'), name);
      for (const { id, findings: whole } of cases) {
        const given = whole.filter((f) => f.site !== 'aphasia');
        const here = startLocalizer().add(given);
        const there = startLocalizer().add(given.map(flip));
        const mirrored = table(there.ranking(all).hypotheses, flipSide);
        const own = table(here.ranking(all).hypotheses);
        const differing = [...own].filter(([site, p]) => mirrored.get(site) !== p);
        expect(differing, id).toEqual([]);
        const depth = { listed: 1, argued: 1, tests: 0 };
        const [top] = here.result(depth).hypotheses;
        const [turned] = there.result(depth).hypotheses;
        if (top === undefined || turned === undefined || flipSide(top.side) !== turned.side)
          continue;
        expect(argument(turned).map(flipWords), id).toEqual(argument(top));
      }
    },
  );

  test('every lesion does to an item what its mirror image does to the mirrored item', () => {
    const items: readonly Item[] = kinds
      .filter((kind) => kind !== 'context' && kind !== 'gait')
      .flatMap((kind) =>
        vocabulary[kind].sites.flatMap((site) => {
          if (site === 'aphasia') return [];
          const sides =
            laterality(kind, site) === 'midline' ? (['midline'] as const) : (['left'] as const);
          const modalities =
            kind === 'sensation' ? (['pinprick', 'vibration'] as const) : [undefined];
          return sides.flatMap((side) =>
            modalities.map((modality) => ({
              kind,
              site,
              side,
              ...(modality === undefined ? {} : { modality }),
            })),
          );
        }),
      );
    const states = (site: string, side: string, item: Item): string => {
      const lesion = lesions.find((l) => l.site === site && l.side === side);
      if (lesion === undefined) return '';
      return coursesOf(lesion)
        .map((course) => `${course.weight.toFixed(9)}:${codeOf(lesion, course, item)}`)
        .sort()
        .join();
    };
    const differing: string[] = [];
    for (const { site, side } of lesions) {
      // One level stands for the cord's others, which differ from it by number only.
      if (site.startsWith('cord:') && !/:(C5|T9):/.test(site)) continue;
      for (const item of items) {
        const turned: Item = { ...item, side: item.side === 'left' ? 'right' : item.side };
        if (states(site, side, item) !== states(site, flipSide(side), turned)) {
          differing.push(`${site} ${side}: ${item.kind} ${item.site}`);
        }
      }
    }
    expect(differing).toEqual([]);
  });

  test('the order of findings changes nothing, to the last bit', () => {
    fc.assert(
      fc.property(exam, fc.infiniteStream(fc.double({ noNaN: true })), (given, stream) => {
        const shuffled = given
          .map((f) => [stream.next().value, f] as const)
          .sort((a, b) => a[0] - b[0])
          .map(([, f]) => f);
        const one = table(startLocalizer().add(given).ranking(all).hypotheses);
        const two = table(startLocalizer().add(shuffled).ranking(all).hypotheses);
        expect([...two].sort()).toEqual([...one].sort());
      }),
      runs,
    );
  });

  test('one at a time or all at once is the same', () => {
    const given = findings(
      'context: age 70',
      'strength left: hip-abduction 4, ankle-dorsiflexion 3',
      'reflex both: achilles 0 trace',
      'sensation vibration both: great-toe absent',
    );
    let running = startLocalizer();
    for (const one of given) running = running.add([one]);
    expect(table(running.ranking(all).hypotheses)).toEqual(
      table(startLocalizer().add(given).ranking(all).hypotheses),
    );
  });

  test('what was not tested has no say', () => {
    const given = findings('strength left: ankle-dorsiflexion 3', 'reflex left: achilles 2+');
    const silent = {
      kind: 'strength',
      site: 'hip-abduction',
      side: 'left',
      value: 'not-tested',
    } as const;
    expect(localize([...given, silent]).hypotheses).toEqual(localize(given).hypotheses);
  });

  test('the same finding twice counts once, and a conflict keeps the later and says so', () => {
    const given = findings('reflex left: achilles 0', 'reflex right: achilles 2+');
    expect(localize([...given, ...given]).hypotheses).toEqual(localize(given).hypotheses);
    const later = findings('reflex left: achilles 2+');
    const changed = localize([...given, ...later]);
    expect(changed.hypotheses).toEqual(localize([...given.slice(1), ...later]).hypotheses);
    expect(changed.cautions.map((c) => c.text).join()).toMatch(/only the later one counts/);
  });

  test('probabilities add to 1 with what is not listed', () => {
    fc.assert(
      fc.property(exam, (given) => {
        const { hypotheses, other } = startLocalizer().add(given).ranking(8);
        expect(hypotheses.reduce((sum, h) => sum + h.probability, other)).toBeCloseTo(1, 9);
      }),
      runs,
    );
  });

  test('a weaker muscle of the root makes the root no less likely against health', () => {
    const base = findings(
      'reflex left: achilles 0',
      'reflex right: achilles 2+',
      'sign left: straight-leg-raise present',
    );
    const odds = ['5', '4+', '4', '4-'].map((grade) => {
      const { hypotheses } = startLocalizer()
        .add([...base, ...findings(`strength left: ankle-plantarflexion ${grade}`)])
        .ranking(all);
      const of = (site: string): number =>
        hypotheses
          .filter((h) => h.site === site && h.sites === undefined && h.side !== 'right')
          .reduce((s, h) => s + h.probability, 0);
      return of('root:S1') / of('no-lesion');
    });
    for (let i = 1; i < odds.length; i++) expect(odds[i]).toBeGreaterThan(odds[i - 1] ?? 0);
  });
});

describe('more of a sign is never less of a reason', () => {
  /** Odds of a lesion against a healthy body. */
  const odds = (given: readonly Finding[], site: string): number => {
    const { hypotheses } = startLocalizer().add(given).ranking(all);
    const of = (wanted: string, side: string): number =>
      hypotheses.find((h) => h.site === wanted && h.side === side && h.sites === undefined)
        ?.probability ?? 0;
    return of(site, 'left') / of('no-lesion', 'none');
  };
  const rising = (site: string, lines: readonly string[]): void => {
    const all = lines.map((line) => odds(findings(line), site));
    for (let i = 1; i < all.length; i++) {
      expect(all[i], `${site}: ${lines[i]}`).toBeGreaterThan(all[i - 1] ?? 0);
    }
  };

  test.each([
    ['nerve:axillary', 'shoulder-abduction'],
    ['nerve:radial-axilla', 'elbow-extension'],
    ['nerve:median-wrist', 'thumb-abduction'],
    ['nerve:ulnar-elbow', 'finger-abduction'],
    ['nerve:femoral', 'knee-extension'],
    ['nerve:obturator', 'hip-adduction'],
    ['nerve:common-fibular', 'ankle-dorsiflexion'],
    ['nerve:tibial', 'ankle-plantarflexion'],
    ['root:C5', 'shoulder-abduction'],
    ['root:C7', 'elbow-extension'],
    ['root:C8', 'finger-flexion'],
    ['root:L4', 'knee-extension'],
    ['root:L5', 'great-toe-extension'],
    ['root:S1', 'ankle-plantarflexion'],
    ['plexus:sacral', 'knee-flexion'],
  ])('%s: a weaker %s', (site, movement) => {
    rising(
      site,
      ['5', '4+', '4', '4-'].map((grade) => `strength left: ${movement} ${grade}`),
    );
  });

  test.each([
    ['root:C6', 'brachioradialis'],
    ['root:C7', 'triceps'],
    ['root:L4', 'patellar'],
    ['root:S1', 'achilles'],
    ['nerve:femoral', 'patellar'],
    ['nerve:sciatic', 'achilles'],
  ])('%s: a lower %s reflex', (site, reflex) => {
    rising(
      site,
      ['2+', '1+', '0'].map((grade) => `reflex left: ${reflex} ${grade}`),
    );
  });
});

describe('bad input', () => {
  test.each([
    ['a value of another kind', { kind: 'reflex', site: 'achilles', side: 'left', value: '5' }],
    [
      'no side where there are two',
      { kind: 'reflex', site: 'achilles', side: 'midline', value: '0' },
    ],
    ['a kind that is none', { kind: 'mood', site: 'achilles', side: 'left', value: '0' }],
    ['a sensation of nothing', { kind: 'sensation', site: 'L5', side: 'left', value: 'reduced' }],
    ['an age that is no number', { kind: 'context', site: 'age', side: 'midline', value: 'old' }],
  ])('%s is refused, and the finding named', (_, wrong) => {
    const good = findings('reflex right: achilles 2+');
    expect(() => localize([...good, wrong as unknown as Finding])).toThrow(/findings\[1\]/);
  });

  test('three values of one item: the last counts, each change is told', () => {
    const given = findings('reflex left: achilles 0, achilles 2+, achilles 0');
    const { cautions, hypotheses } = localize(given);
    expect(cautions.filter(({ text }) => /only the later one counts/.test(text))).toHaveLength(2);
    expect(hypotheses).toEqual(localize(given.slice(2)).hypotheses);
  });

  test('only what was not tested is nothing examined', () => {
    const untested = {
      kind: 'reflex',
      site: 'achilles',
      side: 'left',
      value: 'not-tested',
    } as const;
    expect(localize([untested]).nothing).toMatch(/Nothing was examined/);
  });

  test('nothing examined is said to be nothing', () => {
    for (const given of [[], findings('context: back-pain present, age 50')]) {
      const answer = localize(given);
      expect(answer.nothing).toMatch(/Nothing was examined/);
      expect(answer.hypotheses).toEqual([]);
      expect(answer.other).toBe(1);
    }
  });

  test('a finding off the contract is named', () => {
    const wrong = {
      kind: 'reflex',
      site: 'elbow',
      side: 'left',
      value: '2+',
    } as unknown as Finding;
    expect(() => localize([wrong])).toThrow(/findings\[0\]\.site is "elbow"/);
  });
});

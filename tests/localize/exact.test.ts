import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import type { Finding } from '../../src/exam/index.ts';
import { baselineShares, baselines } from '../../src/localize/baseline.ts';
import { bedside } from '../../src/localize/bedside.ts';
import { coursesOf } from '../../src/localize/courses.ts';
import { weigh } from '../../src/localize/evidence.ts';
import { scaleOf } from '../../src/localize/item.ts';
import { lesions } from '../../src/localize/lesion.ts';
import { createModel } from '../../src/localize/model.ts';
import { pairShare, pairsOf } from '../../src/localize/pair.ts';
import { addEvidence, emptySums, posteriorOf } from '../../src/localize/posterior.ts';
import { priors } from '../../src/localize/prior.ts';
import { codeOf } from '../../src/localize/state.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

/** A small world: a few lesions that go together in pairs, too. */
const wanted = new Set([
  'no-lesion',
  'root:L4',
  'root:L5',
  'root:S1',
  'nerve:common-fibular',
  'polyneuropathy:length-dependent',
  'cord:T10:complete',
]);
const small = lesions.filter(({ site, side }) => wanted.has(site) && side !== 'right');
const model = createModel({ lesions: small });

/** Enumerates every lesion, course and baseline and multiplies plain probabilities. */
function bruteForce(findings: readonly Finding[]): readonly number[] {
  const { evidence, age } = weigh(findings);
  const prior = priors(small);
  const pairs = pairsOf(small, prior);
  const shares = baselineShares(age);
  const alone = pairs.length > 0 ? 1 - pairShare : 1;
  const masses: number[] = [];
  const likelihood = (codes: (e: (typeof evidence)[number]) => number): number =>
    baselines.reduce((sum, baseline, b) => {
      let p = shares[b] ?? 0;
      for (const e of evidence) p *= e.scale.chances(codes(e), baseline)[e.value] ?? 0;
      return sum + p;
    }, 0);
  small.forEach((lesion, i) => {
    let mass = 0;
    for (const course of coursesOf(lesion)) {
      mass += course.weight * likelihood((e) => codeOf(lesion, course, e.item));
    }
    masses.push(mass * alone * (prior[i] ?? 0));
  });
  for (const { first, second, weight } of pairs) {
    const [a, b] = [small[first], small[second]];
    if (a === undefined || b === undefined) continue;
    const three = (lesion: typeof a) => {
      const chosen = [...coursesOf(lesion)]
        .map((course, i) => ({ course, i }))
        .sort((x, y) => y.course.weight - x.course.weight || x.i - y.i)
        .slice(0, 3);
      const sum = chosen.reduce((total, { course }) => total + course.weight, 0);
      return chosen.map(({ course }) => ({ course, share: course.weight / sum }));
    };
    let mass = 0;
    for (const x of three(a)) {
      for (const y of three(b)) {
        mass +=
          x.share *
          y.share *
          likelihood((e) =>
            e.scale.combine(codeOf(a, x.course, e.item), codeOf(b, y.course, e.item)),
          );
      }
    }
    masses.push(mass * pairShare * weight);
  }
  const total = masses.reduce((a, b) => a + b, 0);
  return masses.map((mass) => mass / total);
}

const anyFinding: fc.Arbitrary<Finding> = fc
  .constantFrom(...bedside.filter(({ kind }) => kind !== 'gait' && kind !== 'clonus'))
  .chain((item) =>
    fc
      .constantFrom(...scaleOf(item).values)
      .map((value) => ({ ...item, value }) as unknown as Finding),
  );

test('the running sums equal enumeration to 1e-9', () => {
  fc.assert(
    fc.property(fc.array(anyFinding, { minLength: 1, maxLength: 12 }), (findings) => {
      const { evidence, age } = weigh(findings);
      const sums = emptySums(model);
      for (const e of evidence) addEvidence(model, sums, e);
      const fast = posteriorOf(model, sums, age).candidates;
      bruteForce(findings).forEach((p, i) => {
        expect(Math.abs((fast[i] ?? 0) - p)).toBeLessThan(1e-9);
      });
    }),
    { numRuns: 60 },
  );
});

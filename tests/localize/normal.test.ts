import { describe, expect, test } from 'vitest';
import { localize } from '../../src/localize/index.ts';
import { findings } from './examiner.ts';

const limbs = 'biceps 2+, brachioradialis 2+, triceps 2+, patellar 2+';
const strong =
  'strength both: shoulder-abduction 5, elbow-extension 5, finger-abduction 5, hip-flexion 5, knee-extension 5, ankle-dorsiflexion 5';

describe('variation within normal', () => {
  test.each([
    [
      'ankle jerks absent at 78 and nothing else (Vrancken 2006)',
      ['context: age 78', `reflex both: ${limbs}, achilles 0`, strong, 'plantar both: flexor'],
    ],
    [
      'Hoffmann alone on both sides (Gruenberger 2023)',
      [
        'sign both: hoffmann present',
        `reflex both: ${limbs}, achilles 2+`,
        strong,
        'plantar both: flexor',
      ],
    ],
    [
      'brisk everywhere alike (Walker 1990)',
      [
        'reflex both: biceps 3+, brachioradialis 3+, triceps 3+, patellar 3+, achilles 3+',
        strong,
        'plantar both: flexor',
      ],
    ],
    [
      'low everywhere alike (Walker 1990)',
      [
        'reflex both: biceps 1+, brachioradialis 1+, triceps 1+, patellar 1+, achilles 1+',
        strong,
        'plantar both: flexor',
      ],
    ],
    [
      'a brachioradialis reflex inverted on both sides and nothing else (Kiely 2010)',
      [
        'reflex both: brachioradialis 2+ inverted, biceps 2+, triceps 2+, patellar 2+, achilles 2+',
        strong,
        'plantar both: flexor',
      ],
    ],
  ])('%s leads to no lesion', (_, lines) => {
    const [top] = localize(findings(...lines)).hypotheses;
    expect(top?.site).toBe('no-lesion');
  });

  test('the same ankle jerks at 30 are less likely to be normal than at 78', () => {
    const normal = (age: number): number =>
      localize(
        findings(`context: age ${age}`, `reflex both: ${limbs}, achilles 0`, strong),
      ).hypotheses.find(({ site }) => site === 'no-lesion')?.probability ?? 0;
    expect(normal(30)).toBeLessThan(0.5 * normal(78));
  });

  test('lost on one side only they are no variation', () => {
    const [top] = localize(
      findings('context: age 78', 'reflex left: achilles 0', 'reflex right: achilles 2+'),
    ).hypotheses;
    expect(top?.explains.map(({ text }) => text).join()).not.toMatch(/healthy/);
  });
});

describe('states of the whole body that move all reflexes', () => {
  const notes = (...lines: readonly string[]): string =>
    localize(findings(...lines))
      .cautions.map(({ text }) => text)
      .join('\n');

  test('brisk alike everywhere: thyroid and calcium are asked about', () => {
    expect(
      notes('reflex both: biceps 3+, triceps 3+, patellar 3+, achilles 3+', 'plantar both: flexor'),
    ).toMatch(/thyroid, calcium/);
  });

  test('low alike everywhere: thyroid and magnesium are thought of', () => {
    expect(notes('reflex both: biceps 1+, triceps 1+, patellar 1+, achilles 1+')).toMatch(
      /thyroid and magnesium/,
    );
  });

  test('not where something else is wrong', () => {
    expect(
      notes(
        'reflex both: biceps 3+, triceps 3+, patellar 3+, achilles 3+',
        'plantar both: extensor',
      ),
    ).not.toMatch(/thyroid/);
  });

  test.each([
    ['magnesium-infusion', 'systemic:hypermagnesaemia', '1+'],
    ['thyroid-high', 'systemic:hyperthyroid', '3+'],
    ['calcium-low', 'systemic:hypocalcaemia', '3+'],
  ])('%s told with reflexes changed alike: %s is offered', (context, site, grade) => {
    const { hypotheses } = localize(
      findings(
        `context: ${context} present`,
        `reflex both: biceps ${grade}, triceps ${grade}, patellar ${grade}, achilles ${grade}`,
      ),
    );
    expect(hypotheses.slice(0, 3).map((h) => h.site as string)).toContain(site);
  });
});

import { describe, expect, test, vi } from 'vitest';
import type { Finding } from '../../src/exam/index.ts';
import { askable } from '../../src/localize/askable.ts';
import { localize, startLocalizer } from '../../src/localize/index.ts';
import type { Item } from '../../src/localize/item.ts';
import { findings } from './examiner.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

describe('what is not asked for', () => {
  const item = (kind: Item['kind'], site: string, side: Item['side']): Item => ({
    kind,
    site,
    side,
  });
  const pin = (site: string, side: Item['side']): Item => ({
    kind: 'sensation',
    site,
    side,
    modality: 'pinprick',
  });
  test.each<[why: string, recorded: readonly string[], never: Item, still: Item]>([
    [
      'what was done',
      ['reflex left: achilles 2+'],
      item('reflex', 'achilles', 'left'),
      item('reflex', 'achilles', 'right'),
    ],
    [
      'drift of an arm that does not lift',
      ['strength right: shoulder-abduction 2'],
      item('sign', 'pronator-drift', 'right'),
      item('sign', 'pronator-drift', 'left'),
    ],
    [
      'finger-nose with an arm that does not lift',
      ['strength right: shoulder-abduction 1, finger-abduction 0'],
      item('coordination', 'upper-limb', 'right'),
      item('coordination', 'lower-limb', 'right'),
    ],
    [
      'standing for Romberg with a leg that does not bear',
      ['strength left: knee-extension 2'],
      item('sign', 'romberg', 'midline'),
      item('reflex', 'patellar', 'left'),
    ],
    [
      'Romberg of a patient who cannot walk',
      ['gait: unable'],
      item('sign', 'romberg', 'midline'),
      item('plantar', 'foot', 'left'),
    ],
    [
      'clonus where there is no jerk',
      ['reflex left: achilles 0'],
      item('clonus', 'ankle', 'left'),
      item('clonus', 'ankle', 'right'),
    ],
    [
      'the whole face where only the lower half is weak',
      ['sign left: facial-weakness-lower present'],
      item('sign', 'facial-weakness-whole', 'left'),
      item('sign', 'facial-weakness-whole', 'right'),
    ],
    [
      'the sole after the whole foot',
      ['sensation pinprick left: stocking reduced'],
      pin('sole', 'left'),
      pin('anterior-thigh', 'left'),
    ],
    [
      'the leg after half the body, but the face apart',
      ['sensation pinprick right: hemibody reduced'],
      pin('lateral-leg', 'right'),
      pin('face', 'right'),
    ],
  ])('%s', (_, recorded, never, still) => {
    const canAsk = askable(findings(...recorded));
    expect(canAsk(never)).toBe(false);
    expect(canAsk(still)).toBe(true);
  });

  test('what was said not to be testable', () => {
    const refused: Finding = {
      kind: 'strength',
      site: 'hip-abduction',
      side: 'left',
      value: 'not-tested',
    };
    expect(askable([refused])(item('strength', 'hip-abduction', 'left'))).toBe(false);
    const said = localize([
      ...findings('strength left: ankle-dorsiflexion 3, great-toe-extension 3'),
      refused,
    ]).nextTests.map(({ site, side }) => `${site} ${side}`);
    expect(said.length).toBeGreaterThan(0);
    expect(said).not.toContain('hip-abduction left');
  });

  test('a muscle graded 3 may still be tried against gravity', () => {
    const canAsk = askable(findings('strength left: shoulder-abduction 3'));
    expect(canAsk(item('sign', 'pronator-drift', 'left'))).toBe(true);
  });
});

describe('when to stop asking', () => {
  const motorNeuron = findings(
    'context: onset months',
    'fasciculation both: shoulder-abduction present',
    'fasciculation left: elbow-flexion present',
    'bulk left: finger-abduction wasted, shoulder-abduction wasted',
    'strength left: shoulder-abduction 4, elbow-flexion 4-, finger-abduction 3',
    'reflex left: biceps 3+, triceps 3+',
    'reflex midline: jaw 3+',
    'reflex both: patellar 3+',
    'plantar both: extensor',
    'sensation pinprick both: thumb normal, sole normal',
  );

  test('enough is known: no test is proposed, and that is said', () => {
    const { nextTests, enough } = localize(motorNeuron);
    expect(nextTests).toEqual([]);
    expect(enough).toMatch(/Enough is known/);
  });

  test('a foot drop and nothing else leaves much to ask, and no end is announced', () => {
    const { nextTests, enough } = localize(
      findings('strength left: ankle-dorsiflexion 3, great-toe-extension 3'),
    );
    expect(nextTests.length).toBeGreaterThan(1);
    expect(enough).toBeUndefined();
  });

  test('nothing examined is not enough', () => {
    expect(localize([]).enough).toBeUndefined();
  });
});

describe('what a test is worth', () => {
  const sparse: readonly (readonly Finding[])[] = [
    findings('strength left: ankle-dorsiflexion 3, great-toe-extension 3'),
    findings('strength right: elbow-extension 4', 'reflex right: triceps 1+'),
    findings('reflex both: patellar 3+, achilles 3+', 'plantar both: extensor'),
    findings('sensation pinprick left: little-finger reduced'),
    findings('context: onset sudden', 'strength right: finger-abduction 3, hip-flexion 4'),
  ];

  test('all tests together tell no more than there is to know', () => {
    for (const given of sparse) {
      const open = startLocalizer()
        .add(given)
        .ranking(5000)
        .hypotheses.reduce((sum, { probability: p }) => sum - (p > 0 ? p * Math.log2(p) : 0), 0);
      const { nextTests } = localize(given);
      const told = nextTests.reduce((sum, { bits }) => sum + bits, 0);
      expect(nextTests.length).toBeGreaterThan(0);
      expect(told).toBeLessThanOrEqual(open);
    }
  });

  test('each outcome is told once, and two outcomes lead to different sites', () => {
    for (const given of sparse) {
      for (const { outcomes, text } of localize(given).nextTests) {
        const towards = outcomes.map((o) => o.towards);
        expect(towards.length, text).toBeGreaterThan(1);
        expect(new Set(towards).size, text).toBe(towards.length);
      }
    }
  });
});

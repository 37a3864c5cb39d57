import { describe, expect, test, vi } from 'vitest';
import { contractJson, levelsOf, localize } from '../../src/localize/index.ts';
import { findingWords } from '../../src/localize/words.ts';
import { findings } from './examiner.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

const nowTexts = (...lines: readonly string[]): string =>
  localize(findings(...lines))
    .cautions.filter((c) => c.urgency === 'now')
    .map((c) => c.text)
    .join('\n');

describe('what cannot wait comes first', () => {
  test.each([
    [
      'saddle loss',
      /cauda equina|conus/,
      ['sensation pinprick both: saddle reduced', 'reflex both: achilles 0'],
    ],
    [
      'sphincter trouble with leg signs',
      /cauda equina/,
      ['context: bladder-bowel present', 'strength left: ankle-dorsiflexion 3'],
    ],
    [
      'weakness with lost reflexes and breathing trouble',
      /vital capacity/,
      [
        'context: onset days, respiratory-difficulty present',
        'strength both: hip-flexion 3, shoulder-abduction 4',
        'reflex both: patellar 0, achilles 0',
      ],
    ],
    [
      'reflexes lost on magnesium',
      /magnesium/,
      ['context: magnesium-infusion present', 'reflex both: patellar 0'],
    ],
    [
      'sudden one-sided weakness',
      /stroke/,
      [
        'context: onset sudden',
        'sign right: facial-weakness-lower present',
        'strength right: finger-abduction 3, hip-flexion 4',
      ],
    ],
    [
      'a sensory level',
      /sensory level/,
      ['sensation pinprick both: level-T8 reduced', 'strength both: hip-flexion 4'],
    ],
  ])('%s', (_, says, lines) => {
    expect(nowTexts(...lines)).toMatch(says);
    expect(nowTexts(...lines)).toMatch(/local guidance/);
  });

  test.each([
    ['saddle felt as normal', /cauda equina/, ['sensation pinprick both: saddle normal']],
    [
      'bladder trouble with nothing wrong in the legs',
      /cauda equina/,
      [
        'context: bladder-bowel present',
        'strength both: ankle-dorsiflexion 5',
        'reflex both: achilles 2+, patellar 2+',
      ],
    ],
    [
      'years of weakness with low reflexes',
      /vital capacity/,
      [
        'context: onset years, respiratory-difficulty absent',
        'strength both: ankle-dorsiflexion 3, great-toe-extension 2',
        'reflex both: achilles 0',
        'sensation pinprick both: stocking reduced',
      ],
    ],
    [
      'magnesium with reflexes kept',
      /magnesium/,
      ['context: magnesium-infusion present', 'reflex both: patellar 2+, biceps 2+'],
    ],
    [
      'low reflexes without magnesium',
      /magnesium/,
      ['context: magnesium-infusion absent', 'reflex both: patellar 0'],
    ],
    [
      'one-sided weakness of years',
      /stroke/,
      [
        'context: onset years',
        'sign right: facial-weakness-lower present',
        'strength right: finger-abduction 3, hip-flexion 4',
      ],
    ],
    [
      'a sudden wrist drop of one nerve',
      /stroke/,
      [
        'context: onset sudden',
        'strength left: wrist-extension 1, finger-extension 1, brachioradialis 3, elbow-extension 5, finger-abduction 5, hip-flexion 5',
        'reflex left: triceps 2+, brachioradialis 0',
      ],
    ],
    ['no level felt', /sensory level/, ['sensation pinprick both: level-T8 normal']],
  ])('not raised by %s', (_, says, lines) => {
    expect(nowTexts(...lines)).not.toMatch(says);
  });

  test('half of the cord cut, with a weak leg and no level tried, still asks for pictures of it', () => {
    const { cautions } = localize(
      findings(
        'context: onset days',
        'strength right: hip-flexion 3, knee-flexion 3, ankle-dorsiflexion 2',
        'strength left: hip-flexion 5, knee-flexion 5, ankle-dorsiflexion 5',
        'strength both: shoulder-abduction 5, elbow-extension 5, finger-abduction 5',
        'reflex right: patellar 3+, achilles 3+',
        'reflex left: patellar 2+, achilles 2+',
        'plantar right: extensor',
        'sensation pinprick left: whole-lower-limb reduced',
        'sensation vibration right: great-toe absent',
      ),
    );
    expect(
      cautions
        .filter((c) => c.urgency === 'now')
        .map((c) => c.text)
        .join(),
    ).toMatch(/Signs of a cord lesion with weak legs/);
  });

  test('a plain foot drop or a normal exam raises no alarm', () => {
    expect(nowTexts('strength left: ankle-dorsiflexion 3', 'reflex both: achilles 2+')).toBe('');
    expect(nowTexts('rest normal')).toBe('');
  });
});

describe('reasons in words an examiner uses', () => {
  test('a root cannot make the ankle brisk (common practice, no source)', () => {
    const given = findings(
      'context: back-pain present',
      'strength left: great-toe-extension 3, hip-abduction 4, ankle-dorsiflexion 3, ankle-inversion 4',
      'reflex left: achilles 4+',
      'reflex right: achilles 2+',
      'sensation pinprick left: dorsum-of-foot reduced',
    );
    const { hypotheses } = localize(given, { listed: 60, argued: 60, tests: 0 });
    const root = hypotheses.find(
      (h) => h.site === 'root:L5' && h.side === 'left' && h.sites === undefined,
    );
    const text = root?.unexplained.map((r) => r.text).join('\n');
    expect(text).toMatch(/ankle jerk left 4\+: a root cannot release a reflex/);
  });

  test('the exchanged form has sentences, and adds to 1', () => {
    const json = contractJson(
      localize(
        findings(
          'strength left: great-toe-extension 3, hip-abduction 4',
          'reflex left: medial-hamstring 0, achilles 2+',
        ),
      ),
    );
    const [top] = json.hypotheses;
    expect(top?.site).toBe('root:L5');
    expect(top?.explains.join('\n')).toMatch(
      /great toe extension left 3\/5: the L5 root serves it/,
    );
    expect(json.hypotheses.reduce((s, h) => s + h.probability, json.other)).toBeCloseTo(1, 9);
    expect(json.nextTests.length).toBeGreaterThan(0);
  });

  test('foot drop asks for what parts the root from the nerve (Jeon 2013; look-alike table)', () => {
    const { nextTests } = localize(
      findings(
        'strength left: ankle-dorsiflexion 3, great-toe-extension 3',
        'reflex left: achilles 2+, patellar 2+',
        'plantar left: flexor',
      ),
    );
    const asked = nextTests.map((t) => `${t.kind} ${t.site} ${t.side}`);
    const parting = [
      'strength hip-abduction left',
      'strength ankle-inversion left',
      'strength ankle-eversion left',
      'reflex medial-hamstring left',
      'strength toe-flexion left',
      'sign straight-leg-raise left',
      'context back-pain midline',
    ];
    expect(
      asked.some((test) => parting.includes(test)),
      asked.join(', '),
    ).toBe(true);
  });

  test('an ankle jerk lost on the wrong side of a plain S1 root is doubted', () => {
    const given = findings(
      'context: back-pain present, age 40',
      'strength left: ankle-plantarflexion 3, hip-extension 4, toe-flexion 4, ankle-dorsiflexion 5',
      'strength right: ankle-plantarflexion 5, hip-extension 5, toe-flexion 5',
      'sensation pinprick left: lateral-foot reduced, sole reduced',
      'sensation pinprick right: lateral-foot normal, sole normal',
      'sign left: straight-leg-raise present',
      'sign right: straight-leg-raise absent',
      'reflex left: achilles 2+, patellar 2+',
      'reflex right: achilles 0, patellar 2+',
    );
    const text = localize(given)
      .cautions.map((c) => c.text)
      .join('\n');
    expect(text).toMatch(/ankle jerk left 2\+ and ankle jerk right 0 fit the rest far better/);
  });
});

describe('an argument says a thing once, and of the right lesion', () => {
  const forTop = (...lines: readonly string[]) => {
    const [top] = localize(findings(...lines)).hypotheses;
    const texts = (list: readonly { readonly text: string }[] = []): readonly string[] =>
      list.map(({ text }) => text);
    return {
      site: top?.site,
      explains: texts(top?.explains),
      against: [...texts(top?.against), ...texts(top?.unexplained)],
    };
  };

  test('findings of both sides with one reason are told in one breath', () => {
    const { site, explains } = forTop(
      'context: thyroid-low present',
      'strength both: hip-flexion 4+',
      'reflex both: achilles 1+',
      'reflex right: achilles 1+ delayed-relaxation',
    );
    expect(site).toBe('systemic:hypothyroid');
    expect(explains).toContain('hip flexion 4+/5 on both sides: expected with low thyroid');
    expect(explains.filter((text) => text.includes('hip flexion'))).toHaveLength(1);
  });

  test('slow relaxation speaks for low thyroid apart from the grade (Woltman)', () => {
    const { explains, against } = forTop(
      'context: thyroid-low present',
      'strength both: hip-flexion 4+',
      'reflex left: achilles 1+',
      'reflex right: achilles 1+ delayed-relaxation',
    );
    expect(explains).toContain(
      'ankle jerk right 1+, with delayed relaxation: expected with low thyroid',
    );
    expect(against).toEqual([]);
  });

  test('of two roots the one that serves a muscle is held to it', () => {
    const { site, explains, against } = forTop(
      'context: neck-pain present',
      'strength left: elbow-flexion 4, brachioradialis 4, wrist-extension 3, elbow-extension 3, finger-extension 4, wrist-flexion 4, shoulder-abduction 5, finger-flexion 5, finger-abduction 5',
      'reflex left: biceps 1+, brachioradialis 0, triceps 0',
      'sensation pinprick left: thumb reduced, middle-finger reduced, little-finger normal',
      'sign left: spurling present',
    );
    expect(site).toBe('root:C6');
    expect(explains.join()).toMatch(/elbow extension left 3\/5.*the C7 root serves/);
    expect(explains.join()).toMatch(/brachioradialis left 4\/5.*the C6 root serves/);
    expect(against.join()).not.toMatch(/finger flexion left 5\/5[^;]*the C6 root serves/);
  });

  test('a limb slack on the day of a stroke is not called released (MSD: acute lesions may be areflexic)', () => {
    const { explains } = forTop(
      'context: onset sudden',
      'sign right: facial-weakness-lower present',
      'strength right: shoulder-abduction 0, finger-abduction 0, hip-flexion 1, ankle-dorsiflexion 0',
      'reflex right: biceps 1+, patellar 1+',
      'reflex left: biceps 2+, patellar 2+',
      'tone right: upper-limb reduced',
      'plantar right: extensor',
    );
    expect(explains.join('\n')).toMatch(/tone of the upper limb right reduced: an acute lesion/);
  });

  test('a lesion of one side is not blamed for the other (ankle jerks and a one-sided root)', () => {
    const given = findings(
      'context: back-pain present',
      'strength left: ankle-plantarflexion 3, hip-extension 4',
      'reflex both: achilles 0',
      'sensation pinprick left: lateral-foot reduced',
      'sign left: straight-leg-raise present',
    );
    const { hypotheses } = localize(given, { listed: 60, argued: 60, tests: 0 });
    const root = hypotheses.find(
      (h) => h.site === 'root:S1' && h.side === 'left' && h.sites === undefined,
    );
    expect(root?.unexplained.map(({ text }) => text).sort()).toEqual([
      'ankle jerk left 0: the S1 root is on its arc, but it may have been so before',
      'ankle jerk right 0: a lesion on the left leaves the right side alone',
    ]);
  });

  test('history is said as history', () => {
    const said = findings(
      'context: onset sudden, back-pain absent, thyroid-low present, age 52',
    ).map((finding) => findingWords(finding));
    expect(said).toEqual(['sudden onset', 'no back pain', 'known low thyroid', 'age 52']);
  });

  test('a muscle that a nerve serves in part says in part', () => {
    const { site, explains } = forTop(
      'strength right: finger-abduction 3, thumb-adduction 3, finger-flexion 4+, thumb-abduction 5',
      'sensation pinprick right: little-finger reduced',
      'sign right: tinel-elbow present',
    );
    expect(site).toBe('nerve:ulnar-elbow');
    expect(explains.join('\n')).toMatch(
      /finger flexion right 4\+\/5: supplied in part through the ulnar nerve at the elbow/,
    );
  });

  test('a weak wasted hand is not doubted for being graded just 3', () => {
    const { cautions } = localize(
      findings(
        'strength left: finger-abduction 3, thumb-abduction 5, finger-extension 5',
        'bulk left: finger-abduction wasted',
        'sensation pinprick left: little-finger normal',
      ),
    );
    expect(cautions.map(({ text }) => text).join()).not.toMatch(/finger abduction left 3/);
  });
});

describe('ISNCSCI levels (International Standards 2019)', () => {
  const skin = (normalTo: string): readonly string[] => {
    const order = [
      'C2',
      'C3',
      'C4',
      'C5',
      'C6',
      'C7',
      'C8',
      'T1',
      'T2',
      'T3',
      'T4',
      'T5',
      'T6',
      'T7',
      'T8',
      'T9',
      'T10',
      'T11',
      'T12',
      'L1',
      'L2',
      'L3',
      'L4',
      'L5',
      'S1',
      'S2',
      'S3',
      'S4',
      'S5',
    ];
    const cut = order.indexOf(normalTo);
    return ['light-touch', 'pinprick'].map(
      (m) =>
        `sensation ${m} both: ${order.map((d, i) => `${d} ${i <= cut ? 'normal' : 'absent'}`).join(', ')}`,
    );
  };

  test('a complete injury with triceps 3 and nothing below is motor C7, sensory C7', () => {
    const levels = levelsOf(
      findings(
        'strength both: elbow-flexion 5, wrist-extension 5, elbow-extension 3, finger-flexion 0, finger-abduction 0, hip-flexion 0, knee-extension 0, ankle-dorsiflexion 0, great-toe-extension 0, ankle-plantarflexion 0',
        ...skin('C7'),
      ),
    );
    expect(levels.motor.left).toEqual({ is: 'level', segment: 'C7' });
    expect(levels.sensory.right).toEqual({ is: 'level', segment: 'C7' });
    expect(levels.neurological).toEqual({ is: 'level', segment: 'C7' });
  });

  test('where there is no key muscle the motor level is the sensory level', () => {
    const levels = levelsOf(
      findings(
        'strength both: elbow-flexion 5, wrist-extension 5, elbow-extension 5, finger-flexion 5, finger-abduction 5, hip-flexion 0, knee-extension 0, ankle-dorsiflexion 0, great-toe-extension 0, ankle-plantarflexion 0',
        ...skin('T6'),
      ),
    );
    expect(levels.motor.right).toEqual({ is: 'level', segment: 'T6' });
  });

  test('what is missing is named, never guessed', () => {
    expect(levelsOf(findings('strength left: elbow-flexion 5')).motor.left).toEqual({
      is: 'unknown',
      missing: 'wrist-extension',
    });
  });
});

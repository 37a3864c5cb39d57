import { describe, expect, test } from 'vitest';
import { localize, pathwayOf } from '../../src/localize/index.ts';
import { drawBody } from '../../src/report/body.ts';
import { drawPathway } from '../../src/report/pathway.ts';
import { findings } from './examiner.ts';

const footDrop = findings(
  'context: back-pain present',
  'strength left: great-toe-extension 3, ankle-dorsiflexion 3, hip-abduction 4, ankle-inversion 4',
  'reflex left: medial-hamstring 0, achilles 2+, patellar 2+',
  'reflex right: medial-hamstring 2+, achilles 2+, patellar 3+',
  'plantar both: flexor',
  'sensation pinprick left: dorsum-of-foot reduced',
);
const pathway = pathwayOf(localize(footDrop), footDrop);

describe('the pathway', () => {
  test('the leading root is marked at its level on its side, and its muscles hang on L5', () => {
    expect(pathway.candidates[0]?.marks).toEqual([{ at: 'root', segment: 'L5', side: 'left' }]);
    const toe = pathway.runs.find((run) => run.label === 'great toe extension');
    expect(toe?.segments[0]?.[0]).toBe('L5');
    expect(toe?.change).toBe('less');
  });

  test('a nerve is marked on the ways that run through it and on no other', () => {
    const given = findings(
      'strength right: ankle-dorsiflexion 1, ankle-eversion 1, ankle-inversion 5, hip-abduction 5, great-toe-extension 1',
      'sensation pinprick right: dorsum-of-foot reduced',
      'reflex both: achilles 2+',
    );
    const [top] = pathwayOf(localize(given), given).candidates;
    const [mark] = top?.marks ?? [];
    expect(mark).toMatchObject({ at: 'nerve', name: 'common fibular nerve', side: 'right' });
    const runs = mark?.at === 'nerve' ? mark.runs.join() : '';
    expect(runs).toContain('ankle-eversion');
    expect(runs).not.toContain('ankle-inversion');
  });

  test('the drawing says in words what it shows, by letter and shape and not by colour', () => {
    const svg = drawPathway(pathway, 'p1');
    expect(svg).toMatch(/role="img" aria-labelledby="p1-title p1-desc"/);
    expect(svg).toMatch(/<desc id="p1-desc">Candidate sites\. A: L5 root, left/);
    expect(svg).toMatch(/great toe extension left 3, reduced, by L5 and S1/);
    expect(svg).not.toMatch(/fill="(?!none|Canvas|currentColor)/);
    expect(svg.match(/<svg /g)).toHaveLength(1);
  });

  test('nothing examined still draws the pathway', () => {
    expect(drawPathway(pathwayOf(localize([]), []))).toMatch(/No candidate site/);
  });
});

describe('the body', () => {
  test('grades stand at their places; the later of two counts; abnormal ones are boxed', () => {
    const svg = drawBody(
      [...footDrop, ...findings('reflex right: patellar 4+', 'plantar left: extensor')],
      'b1',
    );
    expect(svg).toContain('patellar right 4+');
    expect(svg).not.toContain('patellar right 3+');
    expect(svg).toContain('↑');
    expect(svg).toMatch(/role="img" aria-labelledby="b1-title b1-desc"/);
  });

  test("the patient's left is on the reader's right", () => {
    const x = (side: string): number => {
      const svg = drawBody(findings(`reflex ${side}: patellar 4+`));
      return Number(/<text x="(\d+)"[^>]*>4\+</.exec(svg)?.[1]);
    };
    expect(x('left')).toBeGreaterThan(150);
    expect(x('left') + x('right')).toBe(300);
  });

  test('no reflexes is said', () => {
    expect(drawBody([])).toContain('No reflex was recorded.');
  });
});

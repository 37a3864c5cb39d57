import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writePrint } from '../../src/report/index.ts';
import { anyReport } from './arbitrary.ts';
import { rootExam } from './exams.ts';

/** Every element that the sheet may have; a page made of these alone can run nothing. */
const plainElements = new Set(
  'html head meta title style body header main section div h1 h2 p dl dt dd ul li table thead tbody tr th td'.split(
    ' ',
  ),
);

const tags = (html: string): readonly (readonly [name: string, attributes: string])[] =>
  [...html.matchAll(/<([a-z][a-z0-9]*)([^>]*)>/gi)].map((m) => [m[1] ?? '', m[2] ?? '']);

describe('the printed sheet', () => {
  test('of any exam has no element or attribute that was said', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        for (const [name, attributes] of tags(writePrint(report))) {
          expect(plainElements).toContain(name);
          expect(attributes).not.toMatch(/\s(on\w+|src|href|style)=/i);
        }
      }),
      { numRuns: 100 },
    );
  }, 60_000);

  test('shows a label as it was typed', () => {
    const html = writePrint({ ...rootExam, patientLabel: '<b onclick="x()">bed & 4</b>' });
    expect(html).toContain('<dd>&lt;b onclick=&quot;x()&quot;&gt;bed &amp; 4&lt;/b&gt;</dd>');
  });

  test('keeps each value on its side', () => {
    expect(writePrint(rootExam)).toContain(
      '<tr class="unequal"><th scope="row">Medial hamstring</th><td class="abnormal">1+ (trace)</td><td>2+</td>',
    );
  });

  test('takes in the drawings it is given', () => {
    const html = writePrint(rootExam, {
      body: '<svg id="b"></svg>',
      pathway: '<svg id="p"></svg>',
    });
    expect(html).toMatch(/<figure><svg id="b"><\/svg><figcaption>.*<svg id="p">/);
    expect(writePrint(rootExam)).not.toContain('<figure>');
  });
});

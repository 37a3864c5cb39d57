import { expect, test, vi } from 'vitest';
import { lesions } from '../../src/localize/lesion.ts';
import { createModel } from '../../src/localize/model.ts';
import { calibration } from './simulate.ts';

// Slow machines, many enumerations: a limit on time is no part of what is tested here.
vi.setConfig({ testTimeout: 300_000 });

test('stated probabilities come true as often as stated (a small run; the bench makes 20,000 exams)', () => {
  const wanted =
    /^(no-lesion|root:(C[5-8]|L[345]|S1)|nerve:|polyneuropathy:|hemisphere|cord:(C6|T8):)/;
  const model = createModel({
    lesions: lesions.filter(({ site }) => wanted.test(site)),
    pairs: false,
  });
  for (const { stated, happened, count } of calibration(model, 3000, 7)) {
    // Three standard errors of a proportion, and the three points that are asked for.
    const spread = 3 * Math.sqrt((stated * (1 - stated)) / Math.max(1, count));
    expect(Math.abs(stated - happened)).toBeLessThan(0.03 + spread);
  }
});

import { expect, test } from 'vitest';
import { mark } from '../../src/app/mark.ts';

test('whoever watches is told of a moment, and the page keeps nothing of it', async () => {
  const seen: PerformanceEntry[] = [];
  const told = new Promise<void>((resolve) => {
    const watch = new PerformanceObserver((list) => {
      seen.push(...list.getEntries());
      watch.disconnect();
      resolve();
    });
    watch.observe({ type: 'mark' });
  });
  mark('gap', 112);
  await told;
  expect(seen.map(({ name }) => name)).toEqual(['plessor:gap']);
  expect((seen[0] as PerformanceMark).detail).toBe(112);
  expect(performance.getEntriesByType('mark')).toEqual([]);
});

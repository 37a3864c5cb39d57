import { AxeBuilder } from '@axe-core/playwright';
import { describe, expect, test } from 'vitest';
import { themes } from '../../src/ui/index.ts';
import { openRoom, type } from './browser.ts';
import { screens } from './screens.ts';
import { sharedBrowser } from './shared.ts';

const { site, chromium } = sharedBrowser();

describe('axe-core finds nothing', () => {
  for (const [screen, open] of Object.entries(screens)) {
    test(screen, async () => {
      const { page } = await openRoom(chromium, site, { voice: 'silent' });
      await open(page);
      for (const theme of themes.filter((one) => one !== 'auto')) {
        await page.evaluate((name) => {
          document.documentElement.dataset.theme = name;
        }, theme);
        // Themes change colours and nothing else, so the other rules are looked at once.
        const axe = new AxeBuilder({ page });
        if (theme !== 'light') axe.withRules(['color-contrast']);
        const { violations } = await axe.analyze();
        const told = violations.map(({ id, nodes }) => `${theme}: ${id} ${nodes[0]?.html}`);
        expect(told).toEqual([]);
      }
      await page.context().close();
    });
  }
});

describe('nothing is cut off', () => {
  // 320 px wide is a desktop of 1280 px at 400 % (WCAG 2.2, 1.4.10 Reflow); 640 at 200 %.
  test.each([320, 390, 640, 1280])('at %d px there is no scrolling sideways', async (width) => {
    const { page } = await openRoom(
      chromium,
      site,
      { voice: 'silent' },
      { viewport: { width, height: 800 } },
    );
    await type(
      page,
      'right patellar 3+, left 2+',
      'plantars extensor on both sides',
      'pinprick reduced over the right L5',
      'exam complete',
      'patellar three plus',
    );
    await page.getByText('Ranked sites').waitFor();
    const wider = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(wider).toBeLessThanOrEqual(0);
    await page.context().close();
  });
});

test('the page moves nothing where motion is not wanted', async () => {
  const { page } = await openRoom(chromium, site, {}, { reducedMotion: 'reduce' });
  const moving = await page.evaluate(() => document.getAnimations().length);
  expect(moving).toBe(0);
});

test('buttons and fields can be hit: 24 px at least each way (WCAG 2.2, 2.5.8)', async () => {
  const { page } = await openRoom(chromium, site, { voice: 'silent' });
  await type(page, 'patellar three plus');
  const targets = await page.getByRole('button').all();
  expect(targets.length).toBeGreaterThan(20);
  for (const target of targets) {
    const box = await target.boundingBox();
    const name = await target.textContent();
    expect(box?.height ?? 0, name ?? '').toBeGreaterThanOrEqual(24);
    expect(box?.width ?? 0, name ?? '').toBeGreaterThanOrEqual(24);
  }
});

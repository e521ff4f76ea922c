// Device scales, window sizes and themes: the canvas has one pixel for each device pixel.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { colours } from './picture.mjs';
import { freshContext, openPage, pageState, settled } from './page.mjs';
import { sharedServer } from './served.mjs';

for (const scale of [1, 1.25, 2]) {
  test(`scale: crisp at device scale ${scale}`, async () => {
    const { address } = await sharedServer();
    const context = await freshContext({ viewport: { width: 1366, height: 768 }, deviceScaleFactor: scale, drawn: true });
    const page = await openPage(context, address);
    await settled(page);
    const shown = await pageState(page);
    const close = (a, b) => assert.ok(Math.abs(a - b) <= 1, `${a} and ${b}`);
    close(shown.device_width, 1366 * scale);
    close(shown.device_height, 768 * scale);
    assert.equal(shown.width, 1366);
    const picture = await colours(page);
    assert.ok(picture.count > 500);
    await context.close();
  });
}

test('scale: the canvas follows the window', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ deviceScaleFactor: 1 });
  const page = await openPage(context, address);
  for (const [width, height] of [[900, 700], [1280, 800], [820, 1180]]) {
    await page.setViewportSize({ width, height });
    await page.waitForFunction(([w, h]) => {
      const shown = window.intercusp.page();
      return shown.device_width === w && shown.device_height === h && shown.idle;
    }, [width, height]);
    const scrolls = await page.evaluate(() => [document.documentElement.scrollWidth > innerWidth, document.documentElement.scrollHeight > innerHeight]);
    assert.deepEqual(scrolls, [false, false]);
  }
  await context.close();
});

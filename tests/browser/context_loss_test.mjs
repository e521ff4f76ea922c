// A lost WebGL context comes back with the same picture and the same work.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { freshContext, openPage, pageState, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

test('context loss: the view comes back as it was', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ drawn: true });
  const page = await openPage(context, address);
  await page.mouse.move(10, 10);
  await settled(page);
  const before = await page.screenshot();
  const caseBefore = (await state(page)).case;
  await page.evaluate(() => {
    window.losing = document.getElementById('view').getContext('webgl2').getExtension('WEBGL_lose_context');
    window.losing.loseContext();
  });
  await page.waitForSelector('#notice:not([hidden])');
  const frames = (await pageState(page)).frames;
  await page.mouse.move(20, 20);
  await page.waitForTimeout(200);
  assert.equal((await pageState(page)).frames, frames, 'nothing is drawn without a context');
  await page.mouse.move(10, 10);
  await page.evaluate(() => window.losing.restoreContext());
  await page.waitForSelector('#notice', { state: 'hidden' });
  await settled(page);
  assert.deepEqual((await state(page)).case, caseBefore);
  assert.ok((await page.screenshot()).equals(before), 'the picture is the same to the pixel');
  assert.deepEqual(context.errors, []);
  await context.close();
});

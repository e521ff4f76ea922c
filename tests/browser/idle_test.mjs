// An idle page draws nothing; a touched one draws and comes to rest again.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { freshContext, openPage, pageState, settled } from './page.mjs';
import { sharedServer } from './served.mjs';

test('idle: no frame is drawn while nothing happens', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ reducedMotion: 'no-preference' });
  const page = await openPage(context, address);
  await page.mouse.move(700, 400);
  await settled(page);
  await page.waitForTimeout(300);
  const before = (await pageState(page)).frames;
  await page.waitForTimeout(1500);
  assert.equal((await pageState(page)).frames, before);
  await page.mouse.move(720, 410);
  await settled(page);
  const after = (await pageState(page)).frames;
  assert.ok(after > before, 'a move of the mouse is answered');
  assert.ok(after - before < 40, `${after - before} frames for one move`);
  await context.close();
});

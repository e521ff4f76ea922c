// The next question of practice, prepared beside the screen, is on screen within 300 ms.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { act, freshContext, openPage, settled } from './page.mjs';
import { sharedServer } from './served.mjs';

test('practice: the next question is on screen within 300 ms', async () => {
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  const { set } = await act(page, 'practice_set', { kinds: ['molar', 'notation', 'crossbite'], count: 6, seed: 3 });
  await act(page, 'practice', { set });
  const times = [];
  for (const answer of ['1', '36', 'none', '1', '36']) {
    await act(page, 'practice_answer', { text: answer });
    await page.waitForFunction(() => window.intercusp.state().practice.ready, undefined, { timeout: 60000 });
    times.push(await page.evaluate(async () => {
      const began = performance.now();
      window.intercusp.act('practice_next', {});
      const drawn = window.intercusp.page().frames;
      while (window.intercusp.page().frames <= drawn) await new Promise(requestAnimationFrame);
      return performance.now() - began;
    }));
    await settled(page);
  }
  console.log(`next questions after ${times.map((t) => t.toFixed(0)).join(', ')} ms`);
  assert.ok(Math.max(...times) < 300);
  await context.close();
});

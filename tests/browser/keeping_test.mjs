// The work survives a reload, a saved file opens again, a full storage is said, a crash while restoring is not repeated.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { assertClose } from './numbers.mjs';
import { click, middleOf } from './hands.mjs';
import { act, dropFiles, freshContext, measures, openPage, pageState, ready, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

async function moved() {
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await act(page, 'open_sample', { name: 'crossbite', triangles: 40000 });
  await act(page, 'set_movement', { segment: 'lower', left: 1.5, yaw: 1 });
  await page.waitForFunction(() => window.intercusp.page().kept_at > 0);
  await settled(page);
  return { context, page };
}

const essence = ({ case: open, plan, entries, camera }) => ({ open, plan, entries, camera });

test('keeping: a reload goes on where the work was', async () => {
  const { context, page } = await moved();
  const before = [essence(await state(page)), await measures(page)];
  await page.reload();
  await ready(page);
  await settled(page);
  assertClose([essence(await state(page)), await measures(page)], before);
  await context.close();
});

test('keeping: a new tab goes on with the last work', async () => {
  const { context, page } = await moved();
  const before = await state(page);
  await page.close();
  const again = await openPage(context, (await sharedServer()).address);
  await settled(again);
  assert.deepEqual((await state(again)).entries, before.entries);
  await context.close();
});

test('keeping: a tab that is killed comes back with its work and says so; one that was closed says nothing', async () => {
  const { context, page } = await moved();
  const before = await state(page);
  // The next page is opened once the browser has noticed: one asked for before that is handed to the page's service worker, which
  // dies with the same process, and waits for good.
  const gone = page.waitForEvent('crash');
  await page.goto('chrome://crash').catch(() => {});
  await gone;
  const again = await openPage(context, (await sharedServer()).address);
  await settled(again);
  assert.deepEqual((await state(again)).entries, before.entries);
  assert.match(await again.textContent('#notice p'), /ended before it could close.*kept last/);
  await again.goto('about:blank');
  const after = await openPage(context, (await sharedServer()).address);
  await settled(after);
  assert.deepEqual((await state(after)).entries, before.entries);
  assert.ok(await after.isHidden('#notice'));
  await context.close();
});

test('keeping: a saved case is a download that opens again with the same numbers', async () => {
  const { context, page } = await moved();
  const before = await measures(page);
  const [download] = await Promise.all([page.waitForEvent('download'), click(page, 'save')]);
  assert.match(download.suggestedFilename(), /\.glb$/);
  const bytes = readFileSync(await download.path());
  assert.equal(bytes.toString('latin1', 0, 4), 'glTF');
  await act(page, 'open_sample', { name: 'class1', triangles: 40000 });
  await dropFiles(page, [{ name: download.suggestedFilename(), bytes }]);
  await page.waitForFunction(() => window.intercusp.state().entries?.length > 0);
  await settled(page);
  assertClose(await measures(page), before);
  await context.close();
});

test('keeping: what the browser keeps can be erased, and then the page begins as on a first visit', async () => {
  const { context, page } = await moved();
  await act(page, 'theme', { name: 'dark' });
  await click(page, 'home');
  await click(page, 'start.kept');
  await click(page, 'kept.erase');
  assert.equal((await state(page)).entries.length, 1);  // asked once more
  const anew = page.waitForEvent('framenavigated');
  const { x, y } = await middleOf(page, 'kept.erase');
  await page.mouse.click(x, y);
  await anew;
  await ready(page);
  await settled(page);
  const after = await state(page);
  assert.deepEqual([after.entries, after.theme], [[], 'system']);
  const kept = await page.evaluate(() => Object.keys(localStorage).filter((key) => /theme|tried/.test(key)));
  assert.deepEqual(kept, []);
  await context.close();
});

test('keeping: a storage that is full is said, with what to do', async () => {
  const context = await freshContext();
  await context.addInitScript(() => {
    IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); };
  });
  const page = await openPage(context, (await sharedServer()).address);
  await act(page, 'set_movement', { forward: 1 });
  await page.waitForSelector('#notice:not([hidden])');
  assert.match(await page.textContent('#notice p'), /full.*Save the case as a file/s);
  assert.equal((await pageState(page)).kept_at, 0);
  await context.close();
});

test('keeping: work that stopped the program while opening is offered as a file, not opened again', async () => {
  const { context, page } = await moved();
  await page.evaluate(() => sessionStorage.setItem('intercusp.restoring', sessionStorage.getItem('intercusp.work')));
  await page.reload();
  await ready(page);
  await page.waitForSelector('#notice:not([hidden])');
  assert.match(await page.textContent('#notice p'), /not opened again/);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#notice button')]);
  assert.equal(readFileSync(await download.path()).toString('latin1', 0, 4), 'glTF');
  await context.close();
});

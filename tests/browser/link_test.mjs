// A link carries a sample case with its movements and its view to another browser, and nothing of it to the server.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertClose } from './numbers.mjs';
import { act, freshContext, measures, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const essence = ({ case: open, plan, entries, camera, layout, stop }) => ({ open, plan, entries, camera, layout, stop });

test('link: pasted elsewhere it shows the same jaw in the same place', async () => {
  const { address } = await sharedServer();
  const first = await freshContext();
  const page = await openPage(first, address);
  await settled(page);
  await act(page, 'open_sample', { name: 'class2_div2', triangles: 40000 });
  await act(page, 'set_movement', { segment: 'upper', forward: 2.5, up: -1, roll: 1.5 });
  await act(page, 'view', { name: 'right' });
  const { link } = await act(page, 'share');
  const expected = [essence(await state(page)), await measures(page)];
  await first.close();

  const second = await freshContext();
  const opened = await openPage(second, link);
  await settled(opened);
  assertClose([essence(await state(opened)), await measures(opened)], expected);
  const fragment = link.slice(link.indexOf('#') + 1);
  assert.ok(fragment.length > 20 && fragment.length < 4000, `${fragment.length} letters`);
  assert.ok(second.requests.every((url) => !url.replace(/#.*/, '').includes(fragment.slice(0, 20))));
  assert.equal(new URL(opened.url()).hash, '', 'a reload goes on with the work, not with the link');
  await second.close();
});

test('link: one pasted into an open page is followed', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  const page = await openPage(context, address);
  await settled(page);
  await act(page, 'open_sample', { name: 'open_bite', triangles: 40000 });
  const { fragment } = await act(page, 'share');
  const { id } = (await state(page)).case;
  await act(page, 'open_sample', { name: 'class1', triangles: 40000 });
  await page.evaluate((hash) => { location.hash = hash; }, fragment);
  await page.waitForFunction((wanted) => window.intercusp.state().case.id === wanted, id);
  await context.close();
});

test('link: a broken one is refused in words and the page stays usable', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  const page = await openPage(context, `${address}#bm90IGEgY2FzZQ`);
  await settled(page);
  assert.match(JSON.stringify((await state(page)).messages), /link was not opened/);
  assert.equal((await state(page)).ready, true);
  await context.close();
});

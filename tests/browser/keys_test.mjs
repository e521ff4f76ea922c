// The keyboard: the browser keeps its own keys, and no key stays down when the page loses the focus.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { freshContext, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const press = (page, init) => page.evaluate((given) => {
  const event = new KeyboardEvent('keydown', { bubbles: true, cancelable: true, ...given });
  const view = document.getElementById('view');
  view.dispatchEvent(event);
  view.dispatchEvent(new KeyboardEvent('keyup', given));
  return event.defaultPrevented;
}, init);

test('keys: reload, full screen, tools, tabs and zoom stay with the browser', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  const page = await openPage(context, address);
  for (const init of [{ key: 'F5' }, { key: 'F11' }, { key: 'F12' }, ...['l', 't', 'w', 'r', '+', '-', '0'].map((key) => ({ key, ctrlKey: true }))]) {
    assert.equal(await press(page, init), false, JSON.stringify(init));
  }
  for (const init of [{ key: 'z', code: 'KeyZ', ctrlKey: true }, { key: '1', code: 'Digit1' }, { key: 'ArrowUp' }, { key: ' ' }]) {
    assert.equal(await press(page, init), true, JSON.stringify(init));
  }
  await settled(page);
  await context.close();
});

test('keys: the view has the focus from the start, and the table of measures is one step before it', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  const page = await openPage(context, address);
  assert.equal(await page.evaluate(() => document.activeElement.id), 'view');
  await page.keyboard.press('Shift+Tab');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'measures-link');
  await page.keyboard.press('Tab');
  const focus = async (key) => {
    await page.keyboard.press(key);
    await settled(page);
    return (await state(page)).focus;
  };
  const first = await focus('Tab'), second = await focus('Tab');
  assert.notEqual(first, second);
  const inView = () => page.evaluate(() => document.activeElement.id === 'view');
  assert.equal(await focus('Shift+Tab'), first);  // back by one control, and from the first one to the page
  assert.ok(await inView());
  for (let i = 0; i < 40 && await inView(); i += 1) await focus('Shift+Tab');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'measures-link');
  const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
  assert.equal(download.suggestedFilename(), 'measures.csv');
  const { readFileSync } = await import('node:fs');
  const lines = readFileSync(await download.path(), 'utf8').trim().split('\r\n');
  assert.equal(lines[0], 'id,value,unit,class,quarters,uncertainty,source');
  assert.ok(lines.some((line) => line.startsWith('overjet,')));
  await context.close();
});

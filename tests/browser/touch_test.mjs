// A tablet held upright: taps, one finger turns, two fingers move and zoom and click nothing, a field raises the keyboard.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { act, keptPage, settled, state } from './page.mjs';
import { tap } from './hands.mjs';
import { sharedServer } from './served.mjs';

/** At scale 1 where only movement counts: software draws every pixel. */
async function tablet(scale = 1) {
  const screen = { viewport: { width: 820, height: 1180 }, hasTouch: true, isMobile: true, deviceScaleFactor: scale };
  const page = await keptPage(`touch at ${scale}`, (await sharedServer()).address, screen);
  const fingers = await page.context().newCDPSession(page);
  const send = async (type, points) => {
    await fingers.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
    // The browser keeps a move back until its next frame.
    await page.evaluate(() => new Promise((resolve) => { requestAnimationFrame(() => requestAnimationFrame(resolve)); }));
    await settled(page);
  };
  return { page, send };
}

const viewMiddle = async (page) => {
  const [x, y, w, h] = (await state(page)).views[0].rect;
  return [x + w * 0.6, y + h * 0.35];
};

test('touch: controls are tapped, and are large enough for a finger', async () => {
  const { page } = await tablet(2);
  const { widgets } = await state(page);
  const small = Object.entries(widgets).filter(([id, [, , , h]]) => /^(stop|save|undo|more|less|view|layout|share)\b/.test(id) && h < 40);
  assert.deepEqual(small, []);
  await tap(page, 'stop.clearance');
  assert.equal((await state(page)).stop, 'clearance');
});

test('touch: a tap on a text field raises the keyboard', async () => {
  const { page } = await tablet(2);
  await act(page, 'rename_box');
  await tap(page, 'name_box.id');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'text-entry');
});

test('touch: one finger turns the model', async () => {
  const { page, send } = await tablet();
  await act(page, 'stop', { name: 'bite' });
  await act(page, 'fold', { panel: 'left', open: false });
  const [x, y] = await viewMiddle(page);
  const before = (await state(page)).camera;
  await send('touchStart', [[x, y]]);
  for (let i = 1; i <= 5; i += 1) await send('touchMove', [[x + 12 * i, y]]);
  const turned = (await state(page)).camera;
  assert.notDeepEqual(turned.rotation, before.rotation);
  assert.equal(turned.half_height_mm, before.half_height_mm);
  await send('touchEnd', []);
  const after = (await state(page)).camera;  // a case that was whole stays whole
  assert.deepEqual(after.rotation, turned.rotation);
  assert.ok(after.half_height_mm >= before.half_height_mm);
});

test('touch: a finger scrolls a panel that is longer than its place, and presses nothing', async () => {
  const { page, send } = await tablet();
  await act(page, 'fold', { panel: 'left', open: true });
  await act(page, 'stop', { name: 'records' });
  const place = async () => (await state(page)).widgets.samples;
  const [x, y, w, h] = await place();
  const middle = [x + w / 2, y + h / 2];
  await send('touchStart', [middle]);
  for (let i = 1; i <= 6; i += 1) await send('touchMove', [[middle[0], middle[1] - 20 * i]]);
  await send('touchEnd', []);
  const moved = y - (await place())[1];
  assert.ok(moved > 80, `the panel moved ${moved} px with a finger's 120`);
  assert.ok(!(await state(page)).widgets.start);
});

test('touch: two fingers zoom and move the model, and do nothing else', async () => {
  const { page, send } = await tablet();
  await act(page, 'stop', { name: 'bite' });
  await act(page, 'fold', { panel: 'left', open: false });
  const [x, y] = await viewMiddle(page);
  const before = await state(page);
  await send('touchStart', [[x - 40, y]]);
  await send('touchStart', [[x - 40, y], [x + 40, y]]);
  for (let i = 1; i <= 8; i += 1) await send('touchMove', [[x - 40 - 5 * i, y], [x + 40 + 5 * i, y]]);
  const zoomed = await state(page);
  for (let i = 1; i <= 5; i += 1) await send('touchMove', [[x - 80, y + 8 * i], [x + 80, y + 8 * i]]);
  await send('touchEnd', [[x - 80, y + 40]]);
  await send('touchEnd', []);
  const after = await state(page);
  const ratio = before.camera.half_height_mm / zoomed.camera.half_height_mm;
  assert.ok(ratio > 1.7 && ratio < 2.3, `fingers at twice the distance zoom by ${ratio}`);
  assert.deepEqual(zoomed.camera.rotation, before.camera.rotation);
  assert.deepEqual(after.camera.rotation, before.camera.rotation);
  assert.notDeepEqual(after.camera.target, zoomed.camera.target);
  assert.deepEqual(after.history, before.history);
  assert.deepEqual(after.selection, before.selection);
});

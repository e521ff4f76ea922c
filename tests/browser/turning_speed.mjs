// Turning two arches of 100,000 triangles each stays fluent in software rendering.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { act, freshContext, laptop, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const leastRate = 15;

/** Turns the model by a pointer that moves once a frame, and gives the frames a second. */
const turnFor = (page, seconds) => page.evaluate((duration) => new Promise((resolve) => {
  const view = document.getElementById('view');
  view.setPointerCapture = () => {};
  const [x, y, w, h] = window.intercusp.state().views[0].rect;
  const send = (type, px, buttons, button) => view.dispatchEvent(new PointerEvent(type, { clientX: px, clientY: y + h * 0.3,
    pointerId: 1, pointerType: 'mouse', buttons, button, bubbles: true, cancelable: true }));
  send('pointermove', x + w / 2, 0, -1);
  send('pointerdown', x + w / 2, 1, 0);
  const began = performance.now();
  const first = window.intercusp.page().frames;
  let n = 0;
  const step = () => {
    n += 1;
    send('pointermove', x + w / 2 + 120 * Math.sin(n / 12), 1, -1);
    const passed = (performance.now() - began) / 1000;
    if (passed < duration) return requestAnimationFrame(step);
    send('pointerup', x + w / 2, 0, 0);
    return resolve((window.intercusp.page().frames - first) / passed);
  };
  requestAnimationFrame(step);
}), seconds);

test('turning: at least 15 frames a second at 1366x768', async () => {
  const context = await freshContext(laptop);
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await act(page, 'open_sample', { name: 'class1', triangles: 200000 });
  const triangles = (await state(page)).case.bodies.map((body) => body.triangles);
  assert.ok(triangles.reduce((sum, n) => sum + n, 0) > 190000, triangles.join(' '));
  const camera = (await state(page)).camera;
  const rates = [];
  // The best of a few: other work on the machine only ever makes it slower.
  for (let i = 0; i < 3 && !(Math.max(...rates) >= leastRate); i += 1) rates.push(await turnFor(page, 3));
  await settled(page);
  console.log(`# turning at ${rates.map((rate) => rate.toFixed(1)).join(', ')} frames a second`);
  assert.notDeepEqual((await state(page)).camera.rotation, camera.rotation, 'the model turned');
  assert.ok(Math.max(...rates) >= leastRate, rates.join(', '));
  await context.close();
});

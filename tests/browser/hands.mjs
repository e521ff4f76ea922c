// Mouse and touch on the program's own controls, found by the rectangles that state() gives.
import assert from 'node:assert/strict';
import { act, settled, state } from './page.mjs';

export async function middleOf(page, id) {
  const { widgets } = await state(page);
  assert.ok(widgets[id], `${id} is on screen (there are ${Object.keys(widgets).join(' ')})`);
  const [x, y, w, h] = widgets[id];
  return { x: x + w / 2, y: y + h / 2 };
}

export async function click(page, id) {
  const { x, y } = await middleOf(page, id);
  await page.mouse.move(x, y);
  await settled(page);
  await page.mouse.click(x, y);
  await settled(page);
}

export async function tap(page, id) {
  const { x, y } = await middleOf(page, id);
  await page.touchscreen.tap(x, y);
  await settled(page);
}

/** Types a number into a quantity of the panels. */
export async function typeNumber(page, id, text) {
  await click(page, id);
  await page.keyboard.press('Control+A');
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
  await settled(page);
}

export async function drag(page, from, to, { button = 'left', steps = 8 } = {}) {
  await page.mouse.move(from.x, from.y);
  await settled(page);
  await page.mouse.down({ button });
  await page.mouse.move(to.x, to.y, { steps });
  await page.mouse.up({ button });
  await settled(page);
}

/** Where the handle of the jaw worked on stands: between the central incisors' edges. */
export async function pivotOnScreen(page, jaw) {
  const [a, b] = jaw === 'upper' ? ['11', '21'] : ['41', '31'];
  const [first, second] = [await act(page, 'project', { landmark: `${a}.incisal_edge_mid` }), await act(page, 'project', { landmark: `${b}.incisal_edge_mid` })];
  return { x: (first.x + second.x) / 2, y: (first.y + second.y) / 2 };
}

/** By the keyboard alone: one step forward, one down, and a pitch of 1.5 degrees typed. `press` and `enter` are the test's own. */
export async function moveByKeys(page, press, enter) {
  while ((await state(page)).stop !== 'movement') await press('PageDown');
  await press('Escape');
  await press('ArrowRight');
  await press('ArrowDown');
  await enter('number.pitch');
  await page.keyboard.type('1.5');
  await press('Enter');
}

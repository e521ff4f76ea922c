// Moving a jaw by typing, by buttons, by the handle and by keys; readings and interference follow, as on the command line.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click, drag, pivotOnScreen, typeNumber } from './hands.mjs';
import { act, contact, keptPage, laptop, measures, savedCase, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const entryOf = async (page, segment) => (await state(page)).entries.find((entry) => entry.segment === segment);

async function openSample(name) {
  const page = await keptPage('movement', (await sharedServer()).address, laptop);
  await act(page, 'open_sample', { name, triangles: 20000 });
  await act(page, 'stop', { name: 'movement' });
  return page;
}

/** The case as saved, read by the command line at the plan on screen. */
async function witness(t, page) {
  const path = written(folderFor(t), 'case.glb', await savedCase(page));
  const { plan } = await state(page);
  return { measured: reportOf('measure', path, '--plan', plan), touching: reportOf('contact', path, '--plan', plan) };
}

test('movement: a sample made in the page is to the byte the one that the command line makes', async (t) => {
  const folder = folderFor(t);
  for (const name of ['class3', 'crossbite']) {
    const page = await openSample(name);
    const path = join(folder, `${name}.glb`);
    run('sample', name, '--triangles', '20000', '-o', path);
    assert.ok((await savedCase(page)).equals(readFileSync(path)), name);
  }
});

test('movement: a typed number moves the upper jaw, and the readings follow', async (t) => {
  const page = await openSample('class3');
  const before = valueOf(await measures(page), 'overjet');
  await typeNumber(page, 'number.forward', '5');
  await typeNumber(page, 'number.pitch', '2');
  const entry = await entryOf(page, 'upper');
  assert.equal(entry.forward_mm, 5);
  assert.equal(entry.pitch_deg, 2);
  const after = await measures(page);
  assert.ok(valueOf(after, 'overjet') - before > 4, `overjet ${before} to ${valueOf(after, 'overjet')}`);
  assertClose(after.measures, (await witness(t, page)).measured.measures);
});

test('movement: dragging the handle moves the jaw in steps of half a millimetre', async () => {
  const page = await openSample('class1');
  await act(page, 'view', { name: 'front' });
  const pivot = await pivotOnScreen(page, 'upper');
  const from = { x: pivot.x, y: pivot.y - 50 };
  await drag(page, from, { x: from.x, y: from.y - 40 });
  const entry = await entryOf(page, 'upper');
  assert.ok(entry.up_mm > 0.4, `${entry.up_mm} mm up`);
  assert.equal(entry.up_mm % 0.5, 0);
  assert.equal(entry.forward_mm, 0);
  const { history } = await state(page);
  await click(page, 'undo');
  assert.equal((await state(page)).history.length, history.length - 1, 'one drag is one step');
});

test('movement: buttons and arrow keys move by the step shown, undo and redo walk them', async () => {
  const page = await openSample('class1');
  await click(page, 'more.forward');
  assert.equal((await entryOf(page, 'upper')).forward_mm, 0.5);
  await page.mouse.move(700, 300);
  await page.keyboard.press('ArrowUp');
  await settled(page);
  assert.equal((await entryOf(page, 'upper')).up_mm, 0.5);
  await page.keyboard.press('Control+z');
  await settled(page);
  assert.equal((await entryOf(page, 'upper')).up_mm, 0);
  await page.keyboard.press('Control+Shift+Z');
  await settled(page);
  assert.equal((await entryOf(page, 'upper')).up_mm, 0.5);
  await click(page, 'reset');
  assert.equal(await entryOf(page, 'upper'), undefined);
});

test('movement: closing the jaws onto each other shows the interference', async (t) => {
  const page = await openSample('class1');
  await act(page, 'segment', { name: 'lower' });
  await act(page, 'set_movement', { up: 1.5 });
  await page.waitForFunction(() => window.intercusp.state().clearance.length > 0);
  await act(page, 'stop', { name: 'clearance' });
  const shown = await state(page);
  assert.ok(shown.clearance[0].depth_mm > 0.5);
  assert.ok(shown.clearance.every((row, i) => i === 0 || row.depth_mm <= shown.clearance[i - 1].depth_mm), 'worst first');
  assertClose(await contact(page), (await witness(t, page)).touching);
  await click(page, 'clearance.0');
  assert.equal((await state(page)).selection.clearance, 0);
});

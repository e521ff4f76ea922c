// The keyboard alone, and fingers alone: a case opened from a file, a jaw moved, the bite read, the case saved; every figure is held
// against the command line, which moves the jaw as far.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run, written } from '../browser/command_line.mjs';
import { moveByKeys, tap } from '../browser/hands.mjs';
import { assertClose } from '../browser/numbers.mjs';
import { measures, settled, state } from '../browser/page.mjs';
import { sharedServer } from '../browser/served.mjs';
import { openWindow } from './firefox.mjs';
import { assertShown } from './shown.mjs';

const read = ['overjet', 'overbite', 'midline_upper_lower', 'molar_right', 'molar_left'];

function caseFile(folder) {
  const path = join(folder, 'to_open.glb');
  run('sample', 'class2_div1', '--triangles', '20000', '-o', path);
  return path;
}

/** What is on the screen and in the saved file, held against the command line, which makes the movement itself. */
async function holdsAgainstTheCommandLine(page, folder, path, saved, ...movement) {
  const moved = join(folder, 'moved.glb');
  run('move', path, '--plan', 'A', '--segment', 'upper', ...movement, '-o', moved);
  const there = reportOf('measure', moved, '--plan', 'A');
  assertClose((await measures(page)).measures, there.measures);
  await assertShown(page, read, there, reportOf('measure', path));
  assertClose(reportOf('measure', written(folder, 'saved.glb', saved), '--plan', 'A').measures, there.measures);
  return there;
}

const untilOpen = async (page) => {
  await page.waitForFunction(() => window.intercusp.state().case?.id === 'class2_div1');
  await settled(page);
};

test('by the keyboard alone: opened, moved, read, saved', async (t) => {
  const folder = folderFor(t), path = caseFile(folder);
  const page = await openWindow((await sharedServer()).address);
  const press = async (keys) => { await page.keyboard.press(keys); await settled(page); };
  const enter = async (id) => {
    for (let i = 0; i < 120 && (await state(page)).focus !== id; i += 1) await press('Tab');
    assert.equal((await state(page)).focus, id);
    await press('Enter');
  };
  await page.choose([path], () => page.keyboard.press('Control+o'));
  await untilOpen(page);
  await moveByKeys(page, press, enter);
  await enter('row.overjet');
  assert.equal((await state(page)).selection.measure, 'overjet');
  await press('Escape');
  const [{ bytes }] = await page.download(['.glb'], () => press('Control+s'));
  const there = await holdsAgainstTheCommandLine(page, folder, path, bytes, '--forward', '0.5', '--up', '-0.5', '--pitch', '1.5');

  // The table that a screen reader finds one step before the view.
  const onLink = () => page.evaluate(() => document.activeElement.id === 'measures-link');
  for (let i = 0; i < 120 && !(await onLink()); i += 1) await press('Shift+Tab');
  const [table] = await page.download(['.csv'], () => page.keyboard.press('Enter'));
  const rows = table.bytes.toString().split('\r\n').map((line) => line.split(',')).filter(([, value]) => /^-?\d/.test(value));
  assertClose(rows.map(([id, value]) => [id, Number(value)]), there.measures.map(({ id, value }) => [id, value]));
});

test('by touch alone: opened, turned, pinched, moved, read, saved', async (t) => {
  const folder = folderFor(t), path = caseFile(folder);
  const page = await openWindow((await sharedServer()).address);
  await page.held(820, 1180);
  await tap(page, 'stop.records');
  await page.choose([path], () => tap(page, 'open_files'));
  await untilOpen(page);
  assert.ok((await state(page)).widgets.save[3] >= 40, 'controls are large enough for a finger');
  await oneFingerTurns(page);
  await twoFingersZoom(page);
  await tap(page, 'stop.movement');
  await tap(page, 'more.forward');
  await tap(page, 'more.forward');
  await tap(page, 'less.up');
  await tap(page, 'row.overjet');
  assert.equal((await state(page)).selection.measure, 'overjet');
  await tap(page, 'explain.close');
  const [{ bytes }] = await page.download(['.glb'], () => tap(page, 'save'));
  await holdsAgainstTheCommandLine(page, folder, path, bytes, '--forward', '1', '--up', '-0.5');
});

/** Fingers laid on the view at these places, from its middle; they go to the next places together, and are lifted. */
async function fingers(page, ...ways) {
  const [x, y, w, h] = (await state(page)).views[0].rect, middle = [x + w * 0.5, y + h * 0.4];
  const places = ways.map((way) => way.map(([right, down]) => [middle[0] + right, middle[1] + down]));
  const touches = [];
  for (const [first] of places) {
    touches.push(await page.touchscreen.touchStart(...first));
    await settled(page);
  }
  for (let step = 1; step < places[0].length; step += 1) {
    for (const [i, touch] of touches.entries()) await touch.move(...places[i][step]);
    await settled(page);
  }
  for (const touch of touches) await touch.end();
  await settled(page);
}

/** `count` steps from one place to another. */
const steps = (count, from, to) => Array.from({ length: count + 1 }, (_, i) => from.map((value, k) => value + (i / count) * (to[k] - value)));

async function oneFingerTurns(page) {
  const before = await state(page);
  await fingers(page, steps(5, [0, 0], [60, 0]));
  const after = await state(page);
  assert.notDeepEqual(after.camera.rotation, before.camera.rotation);
  assert.deepEqual(after.selection, before.selection);
}

async function twoFingersZoom(page) {
  const before = await state(page);
  await fingers(page, steps(8, [-40, 0], [-80, 0]), steps(8, [40, 0], [80, 0]));
  const after = await state(page), ratio = before.camera.half_height_mm / after.camera.half_height_mm;
  assert.ok(ratio > 1.7 && ratio < 2.3, `fingers at twice the distance zoom by ${ratio}`);
  assert.deepEqual(after.camera.rotation, before.camera.rotation);
  assert.deepEqual([after.history, after.selection], [before.history, before.selection]);
}

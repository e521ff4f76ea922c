// The surgeon's way by hand: a sample with bones, a Le Fort I laid and dragged, the upper jaw moved; and the command line
// doing the same from the sample on.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click, drag, typeNumber } from './hands.mjs';
import { act, contact, freshContext, laptop, measures, openPage, savedCase, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

test('cuts: laid, dragged and moved by hand, as the command line does it', async (t) => {
  const context = await freshContext(laptop);
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await act(page, 'open_sample', { name: 'class2_div1', bone: true, triangles: 20000 });
  await settled(page);
  assert.ok((await state(page)).case.bodies.some((body) => body.name === 'upper_bone'));
  assert.ok(!(await state(page)).segments.includes('maxilla'), 'the upper jaw is still joined to the skull');

  await click(page, 'stop.cuts');
  await click(page, 'cut.lefort1');
  await page.waitForFunction(() => window.intercusp.state().segments.includes('maxilla'));
  await settled(page);
  const apex = await act(page, 'project', { landmark: '13.apex' });
  const { views, camera } = await state(page);
  const pxPerMm = views[0].rect[3] / 2 / camera.half_height_mm;
  const onLine = { x: apex.x, y: apex.y - 5.35 * pxPerMm };  // the middle of a saw of 0.7 mm, 5 mm above the apex
  await drag(page, onLine, { x: onLine.x, y: onLine.y - 2 * pxPerMm });
  await page.waitForFunction(() => !window.intercusp.state().cuts.waiting && !window.intercusp.state().doing);
  const { settings } = (await state(page)).entries[0];
  assert.ok(settings.level_right_mm > 6 && settings.level_right_mm === settings.level_left_mm, JSON.stringify(settings));

  await click(page, 'cuts.move');
  await typeNumber(page, 'number.forward', '-4');
  await typeNumber(page, 'number.up', '2');
  assert.deepEqual((await state(page)).entries.map((entry) => entry.cut ?? entry.segment), ['lefort1', 'maxilla']);

  const folder = folderFor(t);
  const [made, sawn, moved] = ['made', 'sawn', 'moved'].map((name) => join(folder, `${name}.glb`));
  run('sample', 'class2_div1', '--bone', '--triangles', '20000', '-o', made);
  run('cut', made, '--plan', 'A', '--kind', 'lefort1', '--level', String(settings.level_right_mm), '-o', sawn);
  run('move', sawn, '--plan', 'A', '--segment', 'maxilla', '--forward', '-4', '--up', '2', '-o', moved);
  const there = reportOf('measure', moved, '--plan', 'A'), here = await measures(page);
  assert.ok(Math.abs(valueOf(here, 'overjet') - valueOf(there, 'overjet')) < 1e-6);
  assertClose(here.measures, there.measures);

  const saved = written(folder, 'saved.glb', await savedCase(page));
  assertClose((await measures(page)).measures, reportOf('measure', saved, '--plan', 'A').measures);
  const onPage = await contact(page), read = reportOf('contact', saved, '--plan', 'A', '--after-removal', '0.5');
  assertClose(onPage.pairs.map((pair) => pair.regions.length), read.pairs.map((pair) => pair.regions.length));
  assert.equal(read.plates.length, 4);
  assertClose(onPage.plates, read.plates);
  assert.deepEqual(onPage.stability, read.stability);
  const { bones } = await act(page, 'bone_removal', { clearance_mm: 0.5 });
  assertClose(bones, read.removal.bones);
  assert.ok(bones.length > 0 && bones.every((bone) => bone.left_mm === 0), JSON.stringify(bones));

  // The sheet, byte for byte.
  const order = { checked_by: 'A. Checker', date: '2026-02-21' };
  const [download] = await Promise.all([page.waitForEvent('download'), act(page, 'sheet', order)]);
  const pdf = join(folder, 'sheet.pdf');
  run('sheet', saved, '--plan', 'A', '--checked-by', order.checked_by, '--date', order.date, '-o', pdf);
  assert.ok(readFileSync(await download.path()).equals(readFileSync(pdf)), 'the sheet of the page is that of the command line');
  await context.close();
});

test('target: a position that is looked for beside the screen and taken is the one of the command line', async (t) => {
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await click(page, 'stop.target');
  await click(page, 'seat.look');
  await page.waitForFunction(() => window.intercusp.state().seating.offers > 0);
  await settled(page);
  await click(page, 'seat.0');
  const folder = folderFor(t);
  const made = join(folder, 'made.glb'), seated = join(folder, 'seated.glb');
  run('sample', 'class3', '--triangles', '40000', '-o', made);
  run('settle', made, '--plan', 'A', '-o', seated);
  assertClose((await measures(page)).measures, reportOf('measure', seated, '--plan', 'A').measures, '', 1e-3);
  await context.close();
});

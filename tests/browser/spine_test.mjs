// The whole way once, by hand: two scans dropped, landmarks clicked, the bite read, a jaw moved, the interference seen, the case
// saved, the page reloaded, the file opened again; at the end the command line reads the same numbers from that file.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { dropped, folderFor, reportOf, run, scannedSample, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click, typeNumber } from './hands.mjs';
import { act, contact, dropFiles, freshContext, measures, openPage, ready, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const wellPlaced = 1.0;  // mm: a click with snapping, against the exact place; worn cusps have no sharp tip

/** From where a person would place this landmark. */
const sideOf = (name) => (/labial|gingival/.test(name) ? 'front' : 'occlusal');

async function lookAt(page, name) {
  const upper = '12'.includes(name[0]) || name.startsWith('raphe');
  await act(page, 'view', { name: sideOf(name) === 'front' ? 'front' : upper ? 'upper' : 'lower' });
}

/** What is read by hand here: the list of missing landmarks begins with what these need. */
const wanted = ['overjet', 'overbite', 'midline_upper_lower', 'molar_right', 'molar_left', 'canine_right', 'canine_left'];

/** Clicks a landmark where it lies. */
async function place(page, name, exact) {
  await act(page, 'pick_landmark', { name });
  await lookAt(page, name);
  const at = await act(page, 'project', { x: exact[0], y: exact[1], z: exact[2], frame: 'scanner' });
  await page.mouse.move(at.x, at.y);
  await settled(page);
  await page.mouse.click(at.x, at.y);
  await settled(page);
  assert.ok((await state(page)).case.landmarks.includes(name), `${name} is placed`);
}

async function placeMissing(page, exact) {
  const unread = async () => (await measures(page)).not_measurable.filter(({ id }) => wanted.includes(id));
  while ((await unread()).length > 0) {
    const name = (await state(page)).case.missing[0];
    await place(page, name, exact[name]);
  }
}

/** How far the farthest of the landmarks in a saved case lies beside its exact place, seen from where it was clicked, mm. The scans
 * of a sample stand upright, so that one looks along z or along y. */
function farthestOff(path, folder, exact) {
  const file = join(folder, 'placed.json');
  run('export', path, '--landmarks', '-o', file);
  const placed = Object.entries(JSON.parse(readFileSync(file, 'utf8')).landmarks);
  const across = (name) => (sideOf(name) === 'front' ? [0, 2] : [0, 1]);
  const beside = ([name, at]) => Math.hypot(...across(name).map((k) => at[k] - exact[name][k]));
  return Math.max(...placed.map(beside));
}

test('spine: from two scans to a saved case that reads the same everywhere', async (t) => {
  const folder = folderFor(t);
  const files = scannedSample(folder, 'class3', 20000);
  const exact = JSON.parse(readFileSync(files.landmarks, 'utf8')).landmarks;
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await dropFiles(page, [dropped('upper.stl', files.upper), dropped('lower.stl', files.lower)]);
  await page.waitForFunction(() => window.intercusp.state().case?.bodies.length === 2 && !window.intercusp.state().case.frame_known);
  await settled(page);
  await placeMissing(page, exact);

  const read = await measures(page);
  assert.ok(Math.abs(valueOf(read, 'overjet') + 4) < 0.6, `overjet ${valueOf(read, 'overjet')}: the sample was made with -4`);
  assert.equal(read.measures.find((m) => m.id === 'molar_right').class, 'III');

  await click(page, 'stop.movement');
  await typeNumber(page, 'number.forward', '5');
  await typeNumber(page, 'number.up', '-1');
  assert.ok(valueOf(await measures(page), 'overjet') > valueOf(read, 'overjet') + 4);
  await click(page, 'stop.clearance');
  const touching = await contact(page);
  assert.ok(touching.pairs[0].regions[0].deepest_mm > 0.3, 'the upper teeth came down into the lower');
  await click(page, 'clearance.0');
  const [x, y, z] = touching.pairs[0].regions[0].at;
  const deepest = await act(page, 'project', { x, y, z });
  const [left, top, width, height] = (await state(page)).views[0].rect;
  assert.ok(Math.hypot(deepest.x - left - width / 2, deepest.y - top - height / 2) < 60, 'the view turned to the deepest place');

  const [download] = await Promise.all([page.waitForEvent('download'), click(page, 'save')]);
  const bytes = readFileSync(await download.path());
  const moved = await measures(page);
  await page.waitForFunction(() => window.intercusp.page().kept_at > 0 && !window.intercusp.page().writing);
  await page.reload();
  await ready(page);
  await settled(page);
  assertClose(await measures(page), moved);
  await act(page, 'open_sample', { name: 'class1', triangles: 20000 });
  await dropFiles(page, [{ name: download.suggestedFilename(), bytes }]);
  await page.waitForFunction(() => window.intercusp.state().entries?.length > 0);
  await settled(page);
  assertClose(await measures(page), moved);
  const { plan } = await state(page);
  const path = written(folder, 'saved.glb', bytes);
  const off = farthestOff(path, folder, exact);
  console.log(`# ${(await state(page)).case.landmarks.length} landmarks by click, the farthest ${off.toFixed(2)} mm off`);
  assert.ok(off < wellPlaced, `${off} mm`);
  assertClose(moved.measures, reportOf('measure', path, '--plan', plan).measures);
  assertClose(await contact(page), reportOf('contact', path, '--plan', plan));
  await context.close();
});

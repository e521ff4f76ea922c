// Two scans and a landmarks file dropped on the page read as they do on the command line.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { readFileSync, writeFileSync } from 'node:fs';
import { test } from 'node:test';
import { dropped, folderFor, reportOf, run, scannedSample } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click } from './hands.mjs';
import { act, dropFiles, keptPage, measures, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

async function sampleOpen() {
  const page = await keptPage('scans', (await sharedServer()).address);
  await act(page, 'open_sample', { name: 'class3', triangles: 20000 });
  return page;
}

test('scans: dropped files give the measures of the command line', async (t) => {
  const folder = folderFor(t);
  const files = scannedSample(folder, 'class2_div1');
  const page = await sampleOpen();
  await dropFiles(page, [dropped('landmarks.json', files.landmarks), dropped('lower.stl', files.lower), dropped('upper.stl', files.upper)]);
  await page.waitForFunction(() => window.intercusp.state().case?.frame_known && window.intercusp.state().case.bodies.length === 2);
  await settled(page);
  const made = join(folder, 'made.glb');
  run('new', '--upper', files.upper, '--lower', files.lower, '--landmarks', files.landmarks, '-o', made);
  const expected = reportOf('measure', made);
  const shown = await measures(page);
  assert.ok(expected.measures.length >= 8);
  assert.ok(Math.abs(valueOf(expected, 'overjet')) > 1, 'the sample has an overjet to read');
  assertClose(shown.measures, expected.measures);
  assertClose(shown.not_measurable, expected.not_measurable);
});

test('scans: what is wrong with a surface is said beside it, as on the command line', async (t) => {
  const folder = folderFor(t);
  const files = scannedSample(folder, 'class1', 20000);
  // Without its last triangles the scan has a border.
  const stl = readFileSync(files.upper);
  const whole = stl.readUInt32LE(80), kept = whole - 40;
  const cut = Buffer.from(stl.subarray(0, 84 + 50 * kept));
  cut.writeUInt32LE(kept, 80);
  const path = join(folder, 'upper_open.stl');
  writeFileSync(path, cut);
  const made = join(folder, 'open.glb');
  run('new', '--upper', path, '--lower', files.lower, '--landmarks', files.landmarks, '-o', made);
  const [finding] = reportOf('info', made).bodies[0].findings;
  assert.match(finding, /open edges: the surface has a border/);
  const page = await sampleOpen();
  await dropFiles(page, [dropped('upper.stl', path), dropped('lower.stl', files.lower)]);
  await page.waitForFunction(() => window.intercusp.state().case?.bodies.length === 2);
  await settled(page);
  assert.deepEqual((await state(page)).case.bodies[0].findings, [finding]);
});

test('scans: a landmark is placed by a click, snapped, and undone', async (t) => {
  const files = scannedSample(folderFor(t), 'class1');
  const page = await sampleOpen();
  await dropFiles(page, [dropped('upper.stl', files.upper), dropped('lower.stl', files.lower)]);
  await page.waitForFunction(() => window.intercusp.state().case?.bodies.length === 2);
  await settled(page);
  const before = await state(page);
  assert.deepEqual(before.case.landmarks, []);
  assert.ok(before.case.missing.includes('11.incisal_edge_mid'));
  const exact = JSON.parse(readFileSync(files.landmarks, 'utf8')).landmarks['11.incisal_edge_mid'];
  await act(page, 'pick_landmark', { name: '11.incisal_edge_mid' });
  const at = await act(page, 'project', { x: exact[0], y: exact[1], z: exact[2] });
  await page.mouse.move(at.x, at.y + 1);
  await settled(page);
  await page.mouse.click(at.x, at.y + 1);
  await settled(page);
  const placed = await state(page);
  assert.deepEqual(placed.case.landmarks, ['11.incisal_edge_mid']);
  assert.ok(!placed.case.missing.includes('11.incisal_edge_mid'));
  await click(page, 'undo');
  assert.deepEqual((await state(page)).case.landmarks, []);
});

test('scans: what is no scan is refused in words, and the open case stays', async () => {
  const page = await sampleOpen();
  const before = (await state(page)).case;
  await dropFiles(page, [{ name: 'notes.stl', bytes: Buffer.from('these are only words') }, { name: 'empty.ply', bytes: Buffer.alloc(0) }]);
  await page.waitForFunction(() => /notes\.stl.*empty\.ply/s.test(JSON.stringify(window.intercusp.state().messages)));
  const words = JSON.stringify((await state(page)).messages);
  assert.match(words, /notes\.stl/);
  assert.match(words, /empty\.ply/);
  assert.deepEqual((await state(page)).case, before);
  await assert.rejects(page.evaluate(() => window.intercusp.open(new Uint8Array([1, 2, 3]), 'x.glb')));
});

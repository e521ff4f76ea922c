// The page and the native program are one core: the same numbers to a millionth, at rest and after a known movement.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { dropped, folderFor, reportOf, run } from './command_line.mjs';
import { assertClose } from './numbers.mjs';
import { act, contact, dropFiles, keptPage, measures, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const samples = ['class1', 'class2_div1', 'class2_div2', 'class3', 'open_bite', 'crossbite'];
const triangles = 20000;

test('agreement: each makes every sample by itself, and both read the same bite', async (t) => {
  const folder = folderFor(t);
  const page = await keptPage('agreement', (await sharedServer()).address);
  for (const name of samples) {
    const path = join(folder, `${name}.glb`);
    run('sample', name, '--triangles', String(triangles), '-o', path);
    await act(page, 'open_sample', { name, triangles });
    assertClose((await measures(page)).measures, reportOf('measure', path).measures, name);
  }
});

test('agreement: the same case, moved: the same bite, the same contacts', async (t) => {
  const folder = folderFor(t);
  const page = await keptPage('agreement', (await sharedServer()).address);
  for (const name of samples) {
    const [made, moved] = ['made', 'moved'].map((stage) => join(folder, `${name}-${stage}.glb`));
    run('sample', name, '--triangles', String(triangles), '-o', made);
    run('move', made, '--plan', 'A', '--segment', 'upper', '--forward', '1.5', '--up', '0.4', '--left', '-0.7', '--pitch', '1.1',
      '--roll', '-0.6', '--yaw', '0.9', '-o', moved);
    await dropFiles(page, [dropped(`${name}.glb`, moved)]);
    await page.waitForFunction((id) => window.intercusp.state().case.id === id && window.intercusp.state().plans?.length !== 0, name);
    await settled(page);
    await act(page, 'choose_plan', { name: 'A' });
    assertClose((await measures(page)).measures, reportOf('measure', moved, '--plan', 'A').measures, name);
    assertClose(await contact(page), reportOf('contact', moved, '--plan', 'A'), name);
  }
});

test('agreement: teeth that pass through each other on the way stand in the clearance list as in the command', async (t) => {
  const made = join(folderFor(t), 'class3.glb'), moved = join(folderFor(t), 'moved.glb');
  run('sample', 'class3', '--triangles', String(triangles), '-o', made);
  run('move', made, '--plan', 'A', '--segment', 'upper', '--forward', '6', '--up', '1', '-o', moved);
  const page = await keptPage('agreement', (await sharedServer()).address);
  await act(page, 'open_sample', { name: 'class3', triangles });
  await act(page, 'set_movement', { segment: 'upper', forward: 6, up: 1 });
  await act(page, 'stop', { name: 'clearance' });
  await page.waitForFunction(() => window.intercusp.state().on_the_way.length > 0);
  const listed = (await state(page)).on_the_way;
  assertClose(listed, reportOf('contact', moved, '--plan', 'A').on_the_way);
  assert.ok(listed.length === 1 && listed[0].deepest_mm > listed[0].deepest_at_ends_mm + 0.4, JSON.stringify(listed));
});

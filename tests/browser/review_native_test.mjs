// One case, the command line and the page: shared by the one, changed in the other, fetched again; sealed and signed alike.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor } from './command_line.mjs';
import { click } from './hands.mjs';
import { act, freshContext, program, settled, startServer, state } from './page.mjs';

test('review: a case shared from the command line is changed in the page and fetched again', async (t) => {
  const folder = folderFor(t);
  const run = (...line) => {
    const done = spawnSync(program, line, { encoding: 'utf8', timeout: 60000, env: { ...process.env, XDG_CONFIG_HOME: folder } });
    assert.equal(done.status, 0, done.stderr);
    return done.stdout;
  };
  const at = (name) => join(folder, name);
  const server = await startServer('--store', at('store'));
  t.after(() => server.stop());
  run('sample', 'class3', '--triangles', '20000', '-o', at('sample.glb'));
  for (const body of ['upper_arch', 'lower_arch']) run('export', at('sample.glb'), '--body', body, '--frame', 'scanner', '-o', at(`${body}.stl`));
  run('export', at('sample.glb'), '--landmarks', '-o', at('landmarks.json'));
  run('new', '--upper', at('upper_arch.stl'), '--lower', at('lower_arch.stl'), '--landmarks', at('landmarks.json'), '-o', at('scans.glb'));
  run('move', at('scans.glb'), '--plan', 'A', '--segment', 'upper', '--forward', '3', '-o', at('planned.glb'));
  const links = JSON.parse(run('share', at('planned.glb'), '--server', server.address, '--name', 'R. Falk', '--role', 'surgeon', '--format', 'json'));

  const page = await (await freshContext()).newPage();
  await page.goto(links.change);
  await page.waitForFunction(() => window.intercusp?.ready);
  await page.evaluate(() => window.intercusp.ready.then(() => true));
  await settled(page);
  await click(page, 'introduction.name');
  await page.keyboard.type('M. Brandt');
  await settled(page);
  await click(page, 'introduction.orthodontist');
  await click(page, 'join.open');
  await page.waitForFunction(() => window.intercusp.state().review?.connection === 'live', undefined, { timeout: 30000 });
  assert.equal((await state(page)).entries[0].forward_mm, 3);
  await act(page, 'set_movement', { segment: 'upper', forward: 4.5 });
  await page.waitForFunction(() => window.intercusp.state().review.entries === 2, undefined, { timeout: 30000 });

  const said = run('fetch', links.view, '-o', at('back.glb'));
  assert.match(said, /entries 2, plans 1/);
  const info = readFileSync(at('back.glb')).toString('latin1');
  assert.match(info, /"forward_mm":4\.5/);
  const overjet = (file) => JSON.parse(run('measure', at(file), '--plan', 'A', '--format', 'json')).measures
    .find(({ id }) => id === 'overjet').value;
  run('move', at('planned.glb'), '--plan', 'A', '--segment', 'upper', '--forward', '1.5', '-o', at('same.glb'));
  assert.ok(Math.abs(overjet('back.glb') - overjet('same.glb')) < 1e-6);
});

// A shared case of two large scans over an ordinary line: how soon something is seen, and how soon it can be worked on.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, scannedSample } from './command_line.mjs';
import { act, freshContext, program, settled, startServer } from './page.mjs';

const triangles = 500000;  // both arches together
const line = { offline: false, latency: 40, downloadThroughput: 20e6 / 8, uploadThroughput: 5e6 / 8 };  // ms, bytes a second

test('a shared case of large scans: a coarse picture is there long before the whole', async (t) => {
  const folder = folderFor(t);
  const run = (...words) => {
    const done = spawnSync(program, words, { encoding: 'utf8', timeout: 120000, env: { ...process.env, XDG_CONFIG_HOME: folder } });
    assert.equal(done.status, 0, done.stderr);
    return done.stdout;
  };
  const server = await startServer('--store', join(folder, 'store'));
  t.after(() => server.stop());
  const scans = scannedSample(folder, 'class1', triangles);
  const file = join(folder, 'scans.glb');
  run('new', '--upper', scans.upper, '--lower', scans.lower, '--landmarks', scans.landmarks, '-o', file);
  const links = JSON.parse(run('share', file, '--server', server.address, '--name', 'R. Falk', '--role', 'surgeon', '--format', 'json'));
  const page = await (await freshContext()).newPage();
  await page.goto(links.view);
  await page.waitForFunction(() => window.intercusp?.ready);
  await settled(page);
  const network = await page.context().newCDPSession(page);
  await network.send('Network.enable');
  await network.send('Network.emulateNetworkConditions', line);
  const times = page.evaluate(() => new Promise((resolve) => {
    const began = performance.now();
    let first = null;
    const look = () => {
      const { review } = window.intercusp.state();
      if (first === null && review?.first_picture) first = performance.now() - began;
      if (review?.phase === 'open') resolve([first, performance.now() - began]);
      else setTimeout(look, 10);
    };
    look();
  }));
  await page.evaluate(() => { window.intercusp.act('review_join', { name: 'M. Brandt', role: 'surgeon' }); });
  const [first, whole] = await times;
  console.log(`# first picture after ${Math.round(first)} ms, whole case after ${Math.round(whole)} ms (20 Mbit/s, 40 ms)`);
  assert.ok(first !== null && first < whole / 3);
  await act(page, 'view', { name: 'right' });
});

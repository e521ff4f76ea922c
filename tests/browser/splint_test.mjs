// The splint's stop by hand: made in the page, how both arches seat, what is raised on it, and the file handed out.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { click } from './hands.mjs';
import { act, freshContext, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

/** Signed volume of a binary STL and its bounds, mm; every directed edge must be met by its opposite. */
function readStl(bytes) {
  const triangles = bytes.readUInt32LE(80);
  assert.equal(bytes.length, 84 + 50 * triangles);
  const edges = new Map();
  let volume = 0;
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (let t = 0; t < triangles; ++t) {
    const corners = [0, 1, 2].map((k) => [0, 1, 2].map((axis) => bytes.readFloatLE(84 + 50 * t + 12 + 12 * k + 4 * axis)));
    const [a, b, c] = corners;
    volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6;
    corners.forEach((p, k) => {
      p.forEach((v, axis) => { low[axis] = Math.min(low[axis], v); high[axis] = Math.max(high[axis], v); });
      const from = p.join(), to = corners[(k + 1) % 3].join();
      const opposite = `${to}|${from}`;
      if ((edges.get(opposite) ?? 0) > 0) edges.set(opposite, edges.get(opposite) - 1);
      else edges.set(`${from}|${to}`, (edges.get(`${from}|${to}`) ?? 0) + 1);
    });
  }
  return { triangles, volume, low, high, open: [...edges.values()].filter((count) => count > 0).length };
}

test('splint: made at its stop, both arches seat, and the STL is the closed solid that was reported', async () => {
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  await act(page, 'open_sample', { name: 'class3', triangles: 20000 });
  await act(page, 'set_movement', { segment: 'upper', forward: 4, up: 1 });
  await click(page, 'stop.splint');
  await act(page, 'set_splint', { opening_mm: 2, step_mm: 0.35, tolerance_mm: 0.05 });
  await settled(page);
  await click(page, 'splint.make');
  await page.waitForFunction(() => window.intercusp.state().splint.made && !window.intercusp.state().doing);
  const { splint } = await state(page);
  assert.equal(splint.made_for, 'now');
  assert.ok(splint.shown && !splint.quick);
  for (const arch of ['upper', 'lower']) {
    const seat = splint.made[arch];
    assert.equal(seat.seats, true, `${arch}: ${JSON.stringify(seat)}`);
    assert.ok(seat.gap_mm > 0.02 && seat.gap_mm < 0.11, `${arch} gap ${seat.gap_mm}`);
    assert.ok(Math.max(...seat.rock.left_mm) < 0.3 && Math.max(...seat.rock.left_mm) > 0.02, JSON.stringify(seat.rock));
  }
  assert.match(splint.made.raised_text.words, /^CLASS3 A FINAL [0-9A-F]{8}$/);
  assert.ok(splint.made.raised_text.stroke_mm >= 0.4 && splint.made.raised_text.proud_mm >= 0.4);

  await settled(page);
  const downloads = [];
  page.on('download', (download) => downloads.push(download));
  await click(page, 'splint.save.stl');
  for (let waited = 0; downloads.length < 2 && waited < 10000; waited += 50) await page.waitForTimeout(50);
  const stl = downloads.find((download) => download.suggestedFilename().endsWith('.stl'));
  const note = downloads.find((download) => download.suggestedFilename().endsWith('.txt'));
  assert.equal(stl.suggestedFilename(), 'class3-final-splint.stl');
  const solid = readStl(readFileSync(await stl.path()));
  assert.equal(solid.open, 0);
  assert.equal(solid.triangles, splint.made.triangles);
  assert.ok(Math.abs(solid.volume - splint.made.volume_mm3) < 0.001 * splint.made.volume_mm3, `${solid.volume}`);
  assert.ok(solid.high[0] - solid.low[0] > 50 && solid.high[0] - solid.low[0] < 90, 'in millimetres');
  assert.match(readFileSync(await note.path(), 'utf8'), /printed models/);
  assert.deepEqual(context.errors, []);
  await context.close();
});

// Two people, one case, one link: from "share" to "agreed" in two browsers with profiles of their own, and what the server and
// the network get to see of it.
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { test } from 'node:test';
import { folderFor, scannedSample } from './command_line.mjs';
import { click, pivotOnScreen } from './hands.mjs';
import { assertClose } from './numbers.mjs';
import { act, freshContext, measures, openPage, settled, startServer, state } from './page.mjs';
import { follow, forward, introduce, listen, review, sameCase, shareSample, small, until, untilForward } from './reviewers.mjs';

/** Everything that a page keeps in its browser of shared cases, as one text; a byte a letter. */
const keptInBrowser = (page) => page.evaluate(async () => {
  const db = await new Promise((resolve, reject) => {
    const request = indexedDB.open('intercusp-review');
    request.onsuccess = () => resolve(request.result);
    request.onerror = reject;
  });
  const all = [];
  const text = (value) => (value instanceof Uint8Array ? [String.fromCharCode(...value.subarray(0, 50000))]
    : value instanceof Object ? Object.values(value).flatMap(text) : [String(value)]);
  for (const name of db.objectStoreNames) {
    const values = await new Promise((resolve) => {
      const request = db.transaction(name).objectStore(name).getAll();
      request.onsuccess = () => resolve(request.result);
    });
    all.push([name, values.length, values.flatMap(text).join('\n')]);
  }
  db.close();
  return Object.fromEntries(all.map(([name, count, words]) => [name, { count, words }]));
});

test('review: shared, opened, moved, talked over, agreed, outdated; a link for viewing changes nothing', async (t) => {
  const store = folderFor(t);
  let server = await startServer('--store', store);
  t.after(() => server.stop());
  const sent = [];
  const [first, second, third] = [await freshContext({ ...small, drawn: true }), await freshContext(small), await freshContext(small)];
  const a = await openPage(first, server.address);
  listen(a, sent);
  const { change_link: changing, view_link: viewing } = await shareSample(a);

  const b = await follow(second, changing, 'M. Brandt', 'surgeon', sent);
  assert.equal(await forward(b), 3);
  await until(a, () => window.intercusp.state().review.people[0]?.name === 'M. Brandt');
  await until(b, () => window.intercusp.state().review.people[0]?.name === 'R. Falk');

  // A pointer on the model, and a pose while it is dragged.
  await act(a, 'view', { name: 'right' });
  await settled(a);
  const pivot = await pivotOnScreen(a, 'upper');
  await a.mouse.move(pivot.x - 60, pivot.y - 30);
  await until(b, () => window.intercusp.state().review.people[0]?.pointer?.body === 'upper_arch');
  await a.mouse.move(pivot.x + 50, pivot.y);
  await settled(a);
  await a.mouse.down();
  await a.mouse.move(pivot.x + 90, pivot.y, { steps: 6 });
  await until(b, () => window.intercusp.state().entries[0].forward_mm > 3.4);
  assert.equal((await review(b)).entries, 1, 'what is only being dragged is no entry');
  await a.mouse.up();
  await until(b, () => window.intercusp.state().review.entries === 2);
  assert.equal(await forward(b), await forward(a));

  // How long an edit takes to be seen by the other.
  const waits = [];
  for (const mm of [3.75, 4.25, 4.5, 4.75, 5]) {
    await a.waitForTimeout(400);
    const began = Date.now();
    await a.evaluate((forward) => { window.intercusp.act('set_movement', { segment: 'upper', forward }); }, mm);
    await untilForward(b, mm);
    waits.push(Date.now() - began);
  }
  t.diagnostic(`an edit is seen after ${waits.sort((x, y) => x - y).join(', ')} ms`);

  // A remark pinned to a tooth, answered.
  const at = await act(a, 'project', { landmark: '13.cusp_tip' });
  const { body, scan } = await act(a, 'pick', { x: at.x, y: at.y - 8 });
  await act(a, 'remark', { body, point: scan, text: 'Is this canine far enough back?' });
  await until(b, () => window.intercusp.state().review.remarks[0]?.text === 'Is this canine far enough back?');
  // With a picture of the view, which the browser's own reader of pictures opens.
  const { jpeg } = await act(b, 'remark_picture', { id: (await review(b)).remarks[0].id });
  const [width, height, colours] = await b.evaluate(async (text) => {
    const bytes = Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/jpeg' }));
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const context = canvas.getContext('2d');
    context.drawImage(bitmap, 0, 0);
    const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height);
    return [bitmap.width, bitmap.height, new Set(new Uint32Array(data.buffer)).size];
  }, jpeg);
  assert.ok(width <= 360 && height <= 240 && (width === 360 || height === 240), `${width} x ${height}`);
  assert.ok(colours > 500, 'jaws, not an empty ground');
  assert.ok(jpeg.length < 40000);
  await act(b, 'reply', { to: (await review(b)).remarks[0].id, text: 'Half a millimetre more.' });
  await until(a, () => window.intercusp.state().review.remarks[0].replies[0]?.text === 'Half a millimetre more.');

  // Agreed by both, each with a key of their own.
  for (const page of [a, b]) await act(page, 'stop', { name: 'agree' });
  await click(a, 'agree.occlusion');
  await until(b, () => window.intercusp.state().review.agreed.length === 1);
  await click(b, 'agree.movement');
  await until(a, () => window.intercusp.state().review.agreed.length === 2);
  const agreed = (await review(a)).agreed;
  assert.deepEqual(agreed.map(({ part, name, current }) => [part, name, current]),
    [['occlusion', 'R. Falk', true], ['movement', 'M. Brandt', true]]);
  assert.notEqual(agreed[0].key, agreed[1].key);
  assert.equal(agreed[1].key, (await review(b)).key, 'the fingerprint that each reads to the other');
  await sameCase(a, b);

  // Any change makes it outdated, and says what changed.
  await act(b, 'set_movement', { segment: 'upper', forward: 5.5 });
  await until(a, () => window.intercusp.state().review.agreed.every(({ current }) => !current));
  assert.match((await review(a)).agreed[0].changes[0], /was 5\.0 mm forward, is 5\.5 mm forward/);

  // The server is killed; both go on, on the same plan; when it is back both plans stand, and both hold the same.
  server.child.kill('SIGKILL');
  await server.ended;
  for (const page of [a, b]) await until(page, () => window.intercusp.state().review.connection === 'offline');
  await act(a, 'set_movement', { segment: 'upper', forward: 6 });
  await act(b, 'set_movement', { segment: 'upper', forward: 6.5 });
  server = await startServer('--store', store, '--port', String(server.port));
  for (const page of [a, b]) {
    await until(page, () => window.intercusp.state().review.connection === 'live' && window.intercusp.state().case.plans.length === 2);
  }
  await sameCase(a, b);
  await act(a, 'choose_plan', { name: 'A (2)' });
  const both = [await forward(a)];
  await act(a, 'choose_plan', { name: 'A' });
  assert.deepEqual([...both, await forward(a)].sort(), [6, 6.5]);

  // A link for viewing, followed on a computer that others use: nothing of it stays there.
  const c = await follow(third, viewing, 'Guest', 'other', sent, true);
  const seen = await forward(c);
  for (const [name, args] of [['set_movement', { segment: 'upper', forward: 9 }], ['agree', { part: 'movement' }],
    ['remark', { measure: 'overjet', text: 'no' }]]) {
    await assert.rejects(act(c, name, args), /link is for viewing/);
  }
  assert.equal(await forward(c), seen);
  await sameCase(a, b, c);
  assert.deepEqual(Object.values(await keptInBrowser(c)).map(({ count }) => count).filter((count) => count > 0), []);

  // What left the pages and what the server keeps: no name, no word, nothing of the case.
  const kept = readdirSync(store).map((name) => readFileSync(join(store, name)));
  for (const words of ['R. Falk', 'M. Brandt', 'canine far', 'forward_mm', 'class3', changing.split('.').at(-1)]) {
    for (const bytes of [...sent, ...kept]) assert.equal(bytes.includes(words), false, words);
  }
  for (const context of [first, second, third]) {
    assert.ok(context.requests.every((url) => url.startsWith(server.address) || url.startsWith('blob:')));
    assert.deepEqual(context.errors.filter((words) => !/GPU|WebGL|net::ERR_|WebSocket/.test(words)), []);
  }
});

test('review: what waits for the server outlives a reload; a revoked link goes on as one for viewing', async (t) => {
  const server = await startServer('--store', folderFor(t));
  t.after(() => server.stop());
  const [first, second] = [await freshContext(small), await freshContext(small)];
  const a = await openPage(first, server.address);
  await act(a, 'open_sample', { name: 'class3', triangles: 20000 });
  await act(a, 'set_movement', { segment: 'upper', forward: 3 });
  await act(a, 'review_share', { name: 'R. Falk', role: 'orthodontist', days: 1 });
  await until(a, () => window.intercusp.state().review?.connection === 'live');
  const b = await openPage(second, server.address);
  await settled(b);
  await b.evaluate((link) => window.intercusp.act('review_join', { link, name: 'M. Brandt', keep: true }), (await review(a)).change_link);
  await until(b, () => window.intercusp.state().review?.connection === 'live');

  await second.route('**/log', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()));
  await act(b, 'set_movement', { segment: 'upper', forward: 4 });
  await until(b, () => window.intercusp.state().review.waiting === 1);
  await act(b, 'set_movement', { segment: 'lower', forward: 1 });
  await until(b, () => window.intercusp.state().review.waiting === 2);
  await settled(b);
  await second.unroute('**/log');
  await b.reload();
  await until(b, () => window.intercusp?.state?.().review?.connection === 'live');
  await until(a, () => window.intercusp.state().entries.length === 2);
  assert.equal(await forward(a), 4);
  await sameCase(a, b);

  await act(a, 'review_revoke');
  await until(b, () => window.intercusp.state().messages.some(({ what }) => what.includes('was revoked'))
    && window.intercusp.state().review.connection === 'live');
  await assert.rejects(act(b, 'set_movement', { segment: 'upper', forward: 9 }), /link is for viewing/);
  assert.equal(await forward(b), 4);
});

/** The whole bodies are kept back until their coarse forms are on the screen. */
function holdTheWhole() {
  const real = window.fetch;
  let pieces = 0;
  const shown = () => new Promise((resolve) => {
    const look = () => {
      if (!window.intercusp.state().review?.first_picture) return void setTimeout(look, 20);
      window.seenFirst = { ready: window.intercusp.state().ready, measures: window.intercusp.measures() };
      resolve();
    };
    look();
  });
  window.fetch = async (...asked) => {
    if (/\/pieces\//.test(asked[0])) pieces += 1;
    if (pieces > 2 && !window.seenFirst) await shown();
    return real(...asked);
  };
}

test('review: of scans a coarse picture comes first; opened once, they open without a network, and what is done then merges', async (t) => {
  const server = await startServer('--store', folderFor(t));
  t.after(() => server.stop());
  const scans = scannedSample(folderFor(t), 'class1', 80000);
  const [first, second] = [await freshContext(small), await freshContext(small)];
  const a = await openPage(first, server.address);
  await settled(a);
  for (const name of ['upper', 'lower', 'landmarks']) {
    const bytes = readFileSync(scans[name]).toString('base64');
    await a.evaluate(([text, file]) => { window.intercusp.open(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)), file); },
      [bytes, basename(scans[name])]);
  }
  await act(a, 'set_movement', { segment: 'upper', forward: 2 });
  await act(a, 'review_share', { name: 'R. Falk', role: 'orthodontist', days: 1 });
  await until(a, () => window.intercusp.state().review?.connection === 'live');
  const link = (await review(a)).change_link;
  await second.addInitScript(holdTheWhole);
  const b = await follow(second, link, 'M. Brandt', 'surgeon', []);
  assert.deepEqual(await b.evaluate(() => window.seenFirst), { ready: false, measures: {} }, 'nothing is measured on what is coarse');
  await sameCase(a, b);
  assert.deepEqual((await state(b)).case.bodies, (await state(a)).case.bodies);
  assertClose((await measures(b)).measures, (await measures(a)).measures);

  // Without a network, in a new page: from the copy that the browser keeps, which is sealed.
  await b.waitForFunction(() => navigator.serviceWorker.ready.then((r) => r.active?.state === 'activated'));
  await b.close();
  await second.setOffline(true);
  const c = await second.newPage();
  await c.goto(link);
  await c.waitForFunction(() => window.intercusp?.ready);
  await settled(c);
  await act(c, 'review_join', { name: 'M. Brandt', role: 'surgeon' });
  await until(c, () => window.intercusp.state().review.connection === 'offline');
  await sameCase(a, c);
  await act(c, 'set_movement', { segment: 'lower', forward: 1 });
  await act(c, 'remark', { measure: 'overjet', text: 'Said in the cellar.' });
  await act(a, 'remark', { measure: 'overbite', text: 'Said meanwhile.' });
  await until(c, () => window.intercusp.state().review.waiting === 2);
  await settled(c);
  const kept = await keptInBrowser(c);
  assert.ok(kept.pieces.count > 2 && kept.entries.count > 0 && kept.waiting.count === 1);
  for (const words of ['R. Falk', 'M. Brandt', 'cellar', 'forward_mm', 'glTF']) {
    for (const [name, { words: all }] of Object.entries(kept)) assert.ok(!all.includes(words), `${words} in ${name}`);
  }
  await c.reload();  // what waits outlives that too
  await c.waitForFunction(() => window.intercusp?.ready);
  await until(c, () => window.intercusp.state().review?.connection === 'offline' && window.intercusp.state().review.remarks?.length === 1);
  await second.setOffline(false);
  await until(c, () => window.intercusp.state().review.connection === 'live' && window.intercusp.state().review.waiting === 0);
  await until(a, () => window.intercusp.state().review.remarks.length === 2 && window.intercusp.state().entries.length === 2);
  await sameCase(a, c);
});

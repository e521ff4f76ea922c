// The desktop window under a virtual display: it shows the case, answers mouse and keys, keeps the work, closes cleanly.
//   node --test tests/window/window_test.mjs      (needs Xvfb, xdotool and ImageMagick)
import assert from 'node:assert/strict';
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { atControls, colours, folderFor, introduceAt, program, run, startDisplay, startServer, startView, toMovement, until } from './window_hands.mjs';

test('window: shows the case, answers mouse and keys, keeps the work and closes cleanly', async (t) => {
  const folder = folderFor(t);
  const file = join(folder, 'case.glb');
  run('sample', 'class1', '--triangles', '40000', '-o', file);
  const display = await startDisplay(t);
  const { ended, hands, picture } = await startView(t, display, folder, file);
  await until('a picture', () => colours(picture('first.png')) > 500);

  const work = join(folder, 'state/intercusp/work');
  const kept = () => (existsSync(join(work, 'latest')) ? readFileSync(join(work, 'latest'), 'utf8') : '');
  const keptPlans = () => JSON.parse(run('info', join(work, `${kept()}.glb`), '--format', 'json')).plans;
  hands('mousemove', '700', '250', 'mousedown', '1');
  for (let x = 710; x <= 800; x += 10) { hands('mousemove', String(x), '260'); await pause(40); }
  hands('mouseup', '1');
  await pause(500);
  const turned = readFileSync(picture('turned.png'));
  assert.ok(!turned.equals(readFileSync(join(folder, 'first.png'))), 'a drag turns the model');
  toMovement(hands);
  hands('key', 'Up');
  await until('the kept work', () => kept() && existsSync(join(work, `${kept()}.glb`)));
  const before = readFileSync(join(work, `${kept()}.glb`));
  hands('key', 'shift+Up');
  await until('the kept movement', () => !readFileSync(join(work, `${kept()}.glb`)).equals(before));
  assert.equal(keptPlans().length, 1);
  assert.equal(keptPlans()[0].movements, 1);

  hands('key', 'ctrl+q');
  const { code, said } = await Promise.race([ended, pause(8000).then(() => ({ code: 'still open' }))]);
  assert.equal(code, 0, said);
  assert.deepEqual(readdirSync(work).filter((name) => !/\.(glb|view\.json)$|^latest$/.test(name)), [], 'no half-written files');
});

/** A case whose landmarks are there but for one. */
function caseToFinish(folder, left) {
  const whole = join(folder, 'whole.glb'), path = join(folder, 'to_finish.glb'), some = join(folder, 'some.json');
  run('sample', 'class3', '--triangles', '20000', '-o', whole);
  for (const jaw of ['upper', 'lower']) run('export', whole, '--body', `${jaw}_arch`, '-o', join(folder, `${jaw}.stl`));
  run('export', whole, '--landmarks', '-o', some);
  const set = JSON.parse(readFileSync(some, 'utf8'));
  const at = set.landmarks[left];
  delete set.landmarks[left];
  writeFileSync(some, JSON.stringify(set));
  run('new', '--upper', join(folder, 'upper.stl'), '--lower', join(folder, 'lower.stl'), '--landmarks', some, '-o', path);
  return { path, at };
}

test('window: the whole way by mouse reads what the command line reads', async (t) => {
  const folder = folderFor(t), shown = join(folder, 'state.json');
  const { path, at: exact } = caseToFinish(folder, '41.incisal_edge_mid');
  const { ended, hands } = await startView(t, await startDisplay(t), folder, path, '--state', shown);
  const { showing, click } = atControls(hands, shown);
  const overjet = (s) => s.measures?.measures.find(({ id }) => id === 'overjet')?.value;
  assert.deepEqual((await showing('the case', (s) => s.case)).case.missing, ['41.incisal_edge_mid']);
  await click('stop.records');
  await click('landmark.41.incisal_edge_mid');
  await showing('the tool', (s) => s.selection?.landmark === '41.incisal_edge_mid');
  hands('key', '1');
  // The scans of a sample stand upright: from in front x is the patient's left, z up.
  const { views: [view] } = await showing('the front', (s) => s.views?.[0].record === 'front');
  const [x, y, w, h] = view.rect, scale = h / (2 * view.camera.half_height_mm);
  const at = [x + w / 2 + (exact[0] - view.camera.target[0]) * scale, y + h / 2 - (exact[2] - view.camera.target[2]) * scale];
  hands('mousemove', String(Math.round(at[0])), String(Math.round(at[1])), 'click', '1');
  const read = await showing('the landmark', (s) => s.case.missing.length === 0);
  assert.ok(Math.abs(overjet(read) + 4) < 0.6, `${overjet(read)}: made with -4`);
  await click('stop.movement');
  await click('more.forward');
  const moved = await showing('the movement', (s) => s.entries?.length === 1);
  assert.ok(Math.abs(overjet(moved) - overjet(read) - 0.5) < 0.1);
  await click('row.overjet');
  await showing('the explanation', (s) => s.selection?.measure === 'overjet');
  hands('key', 'Escape');
  await click('save');
  const saved = await until('the saved case', () => readdirSync(folder).find((name) => /^case-.*\.glb$/.test(name)));
  const { measures } = JSON.parse(run('measure', join(folder, saved), '--plan', moved.plan, '--format', 'json'));
  for (const { id, value } of measures) {
    const seen = moved.measures.measures.find((m) => m.id === id).value;
    assert.ok(Math.abs(seen - value) <= 1e-6, `${id}: shown ${seen}, command line ${value}`);
  }
  hands('key', 'ctrl+q');
  assert.equal((await ended).code, 0);
});

test('window: two windows on one shared case: shared, joined, moved, and what was done without the server follows', async (t) => {
  const folder = folderFor(t), at = (name) => join(folder, name);
  const { path } = caseToFinish(folder, '41.incisal_edge_mid');
  const server = await startServer(t, folder);
  const person = async (name, ...args) => {
    mkdirSync(at(name));
    const view = await startView(t, await startDisplay(t), at(name), ...args, '--state', at(`${name}.json`));
    return { ...view, ...atControls(view.hands, at(`${name}.json`)) };
  };
  const live = (who) => who.showing('the room', (s) => s.case && s.review?.connection === 'live');
  const forward = (mm) => (s) => s.entries?.[0]?.forward_mm === mm;

  const a = await person('a', path, '--server', server.address);
  await a.click('share');
  await introduceAt(a, 'R. Falk', 'surgeon');
  await a.click('share.review');
  const { review: { change_link: link, name } } = await live(a);
  assert.equal(name, 'R. Falk');
  assert.ok(link.startsWith(`${server.address}#review=1.`), link);

  const b = await person('b', '--link', link);
  await introduceAt(b, 'M. Brandt', 'orthodontist');
  await b.click('join.open');
  const joined = await live(b);
  assert.deepEqual(joined.review.people.map((one) => one.name), ['R. Falk']);
  assert.deepEqual(joined.case.bodies.map((body) => body.name), a.state().case.bodies.map((body) => body.name));

  a.hands('key', 'Escape');
  await a.click('stop.movement');
  await a.click('more.forward');
  await b.showing('the movement of the other', forward(0.5));

  await server.stop();
  await b.showing('the loss', (s) => s.review?.connection === 'offline');
  await b.click('stop.movement');
  await b.click('more.forward');
  await b.showing('what waits', (s) => forward(1)(s) && s.review.waiting > 0);
  await startServer(t, folder, server.port);
  await a.showing('what was done without the server', forward(1));
  await b.showing('nothing waits', (s) => s.review.waiting === 0 && s.review.connection === 'live');
  const said = execFileSync(program, ['fetch', link, '-o', at('back.glb')], { encoding: 'utf8' });
  assert.match(said, /plans 1/);
  for (const who of [a, b]) {
    who.hands('key', 'ctrl+q');
    assert.equal((await who.ended).code, 0);
  }

  // Without any network: what was opened once opens again.
  const offline = await startView(t, await startDisplay(t), at('b'), '--link', link.replace(/:\d+\//, ':9/'), '--state', at('again.json'));
  const again = atControls(offline.hands, at('again.json'));
  await again.click('join.open');
  await again.showing('the case from the copy', (s) => s.review?.phase === 'open' && forward(1)(s));
});

test('window: without a file it goes on with the work kept last', async (t) => {
  const folder = folderFor(t);
  const file = join(folder, 'case.glb');
  run('sample', 'crossbite', '--triangles', '20000', '-o', file);
  const display = await startDisplay(t);
  const first = await startView(t, display, folder, file);
  await until('a picture', () => colours(first.picture('first.png')) > 500);
  const work = join(folder, 'state/intercusp/work');
  toMovement(first.hands);
  first.hands('mousemove', '700', '250', 'key', 'Up');
  await until('the kept work', () => existsSync(join(work, 'latest')));
  first.hands('key', 'ctrl+q');
  assert.equal((await first.ended).code, 0);
  const latest = readFileSync(join(work, 'latest'), 'utf8');
  const second = await startView(t, display, folder);
  await until('a picture', () => colours(second.picture('second.png')) > 500);
  toMovement(second.hands);
  second.hands('mousemove', '700', '250', 'key', 'Down');
  await pause(2500);
  assert.equal(readFileSync(join(work, 'latest'), 'utf8'), latest, 'the same case is worked on');
  second.hands('key', 'ctrl+q');
  assert.equal((await second.ended).code, 0);
});

test('window: a file that cannot be read is refused in words', async (t) => {
  const folder = folderFor(t);
  const display = await startDisplay(t);
  const env = { ...process.env, DISPLAY: display, HOME: folder };
  for (const path of [join(folder, 'missing.glb'), fileURLToPath(import.meta.url)]) {
    const child = spawn(program, ['view', path], { env, stdio: ['ignore', 'ignore', 'pipe'] });
    t.after(() => child.kill());
    let said = '';
    child.stderr.on('data', (data) => { said += data; });
    const code = await new Promise((resolve) => child.on('exit', resolve));
    assert.equal(code, 2, said);
    assert.match(said, /missing\.glb|window_test\.mjs/);
  }
});

test('window: without a display it says what to do', () => {
  const env = { ...process.env };
  delete env.DISPLAY;
  delete env.WAYLAND_DISPLAY;
  let failed;
  try { execFileSync(program, ['view'], { env, stdio: ['ignore', 'ignore', 'pipe'], encoding: 'utf8' }); } catch (error) { failed = error; }
  assert.equal(failed?.status, 2);
  assert.match(failed.stderr, /intercusp serve/);
});

test('window: a student hands in and a teacher fetches, each with keys of this machine', async (t) => {
  const folder = folderFor(t), shown = join(folder, 'state.json');
  const { address } = await startServer(t, folder);
  const settings = (name) => ({ env: { ...process.env, XDG_CONFIG_HOME: join(folder, name) }, encoding: 'utf8' });
  const theirs = execFileSync(program, ['practice', '--make-set', '--count', '1', '--kinds', 'notation', '--inbox', address], settings('other')).trim();
  const { hands } = await startView(t, await startDisplay(t), folder, '--link', theirs, '--server', address, '--state', shown);
  const { showing, click } = atControls(hands, shown);
  await click('practice.tooth.11');
  await showing('the answer', (s) => s.practice?.question && s.widgets['practice.answer']);
  await click('practice.answer');
  await click('practice.next');
  await click('practice.by');
  await pause(500);
  hands('type', '--delay', '60', 'Quillon');
  await showing('the signature', (s) => s.practice?.hand_in?.by === 'Quillon' && s.practice.hand_in.signed);
  await click('practice.send');
  const sent = await showing('it sent', (s) => s.practice?.hand_in?.sent === 'yes');
  const table = execFileSync(program, ['practice', '--fetch', '--set', theirs], settings('other'));
  assert.match(table, new RegExp(`Quillon: [\\d.]+ of 1, key ${sent.practice.hand_in.key}`));

  await click('practice.leave');
  await click('start.class');
  await click('class.inbox');
  await showing('the choice', (s) => s.class?.draft.inbox);
  await click('class.make');
  const { class: { link } } = await showing('the link', (s) => s.class?.link);
  execFileSync(program, ['practice', '--set', link, '--by', 'Rosalind', '--send', '--answers', '/dev/null'], settings('student'));
  await click('class.tab.results');
  await click('class.fetch');
  const { class: { results } } = await showing('the table', (s) => s.class?.results.students, 60);
  assert.equal(results.students[0].by, 'Rosalind');
  assert.match(results.students[0].key, /^[0-9a-f]{4} /);
  assert.deepEqual(results.troubles, []);
});

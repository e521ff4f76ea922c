// The whole way by touch alone, and by the keyboard alone: a case opened from a file, the landmarks that are missing placed, the
// bite read, a jaw moved, a number explained, the case saved; every figure is held against the command line. By mouse:
// spine_test.mjs.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run, scannedSample, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { middleOf, moveByKeys } from './hands.mjs';
import { act, freshContext, measures, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const left = ['11.incisal_edge_mid', '46.buccal_groove'];  // to be placed by hand

/** A case whose landmarks are there but for two. */
function caseToFinish(folder) {
  const files = scannedSample(folder, 'class2_div1', 20000);
  const set = JSON.parse(readFileSync(files.landmarks, 'utf8'));
  const exact = { ...set.landmarks };
  for (const name of left) delete set.landmarks[name];
  const landmarks = written(folder, 'some.json', JSON.stringify(set));
  const path = join(folder, 'to_finish.glb');
  run('new', '--upper', files.upper, '--lower', files.lower, '--landmarks', landmarks, '-o', path);
  return { path, exact };
}

/** Every row of the table as it is shown, held against the command line on the case as it was saved. */
async function holdsAgainstTheCommandLine(page, folder, bytes) {
  const { plan, widgets, texts } = await state(page);
  const path = written(folder, 'saved.glb', bytes);
  const read = reportOf('measure', path, '--plan', plan), rest = reportOf('measure', path);
  assertClose((await measures(page)).measures, read.measures);
  let shown = 0;
  for (const { id } of read.measures) {
    if (!widgets[`row.${id}`]) continue;
    const [x, y, w, h] = widgets[`row.${id}`];
    const digits = texts.filter(({ words, rect: [left, top, , height] }) => /^\d+(\.\d+)?$/.test(words)
      && left >= x && left < x + w && top + height / 2 >= y && top + height / 2 < y + h);
    digits.sort((a, b) => a.rect[0] - b.rect[0]);
    if (digits.length === 0) continue;  // scrolled out of sight
    const said = (value, words) => Math.abs(value).toFixed(words.split('.')[1]?.length ?? 0);
    const [start, now, change] = digits.map(({ words }) => words);  // the change only where a word says which way
    assert.ok(digits.length === 2 || digits.length === 3, `${id}: ${digits.map(({ words }) => words)}`);
    if (change) assert.equal(change, said(valueOf(read, id) - valueOf(rest, id), change), `${id}, change`);
    assert.equal(start, said(valueOf(rest, id), start), `${id} at the start`);
    assert.equal(now, said(valueOf(read, id), now), id);
    shown += 1;
  }
  assert.ok(shown > 12, `${shown} rows shown`);
}

const placedAt = async (page, name, exact) => {
  const [x, y, z] = exact[name];
  return act(page, 'project', { x, y, z, frame: 'scanner' });
};

test('whole way: by touch alone', async (t) => {
  const folder = folderFor(t);
  const { path, exact } = caseToFinish(folder);
  const context = await freshContext({ viewport: { width: 1180, height: 820 }, hasTouch: true, isMobile: true });
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  const tap = async (id) => {
    const { x, y } = await middleOf(page, id);
    await page.touchscreen.tap(x, y);
    await settled(page);
  };
  await tap('stop.records');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), tap('open_files')]);
  await chooser.setFiles(path);
  await page.waitForFunction(() => window.intercusp.state().case?.missing.length > 0);
  await settled(page);
  await tap('stop.records');
  assert.ok((await measures(page)).not_measurable.some(({ id }) => id === 'overjet'));
  await tap('landmark.start');
  for (const name of left) {
    if ((await state(page)).selection.landmark !== name) await tap(`landmark.${name}`);
    await tap(name[0] < '3' ? 'view.front' : 'view.lower');
    const at = await placedAt(page, name, exact);
    await page.touchscreen.tap(at.x, at.y);
    await settled(page);
    assert.ok((await state(page)).case.landmarks.includes(name), `${name} is placed`);
  }
  await tap('stop.bite');
  const read = await measures(page);
  assert.ok(Math.abs(valueOf(read, 'overjet') - 8) < 0.6, `overjet ${valueOf(read, 'overjet')}: made with 8`);
  await tap('stop.movement');
  await tap('more.forward');
  await tap('less.up');
  assert.ok(Math.abs(valueOf(await measures(page), 'overjet') - valueOf(read, 'overjet') - 0.5) < 0.1);
  await tap('row.overjet');
  assert.equal((await state(page)).selection.measure, 'overjet');
  await tap('explain.close');
  const [download] = await Promise.all([page.waitForEvent('download'), tap('save')]);
  await holdsAgainstTheCommandLine(page, folder, readFileSync(await download.path()));
  await context.close();
});

test('whole way: by the keyboard alone', async (t) => {
  const folder = folderFor(t);
  const { path, exact } = caseToFinish(folder);
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  const press = async (key) => { await page.keyboard.press(key); await settled(page); };
  /** Tab until the focus is shown on the control, then Enter. */
  const enter = async (id) => {
    for (let i = 0; i < 120 && (await state(page)).focus !== id; i += 1) await press('Tab');
    assert.equal((await state(page)).focus, id);
    await press('Enter');
  };
  const aimAt = async (at) => {
    const { aim } = await state(page);
    for (const [from, to, less, more] of [[aim[0], at.x, 'ArrowLeft', 'ArrowRight'], [aim[1], at.y, 'ArrowUp', 'ArrowDown']]) {
      const key = to < from ? less : more, off = Math.round(Math.abs(to - from));
      for (const [keys, times] of [[`Shift+${key}`, Math.floor(off / 36)], [key, Math.floor((off % 36) / 6)], [`Alt+${key}`, off % 6]]) {
        for (let i = 0; i < times; i += 1) await page.keyboard.press(keys);
      }
    }
    await settled(page);
  };
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), press('Control+o')]);
  await chooser.setFiles(path);
  await page.waitForFunction(() => window.intercusp.state().case?.missing.length > 0);
  await settled(page);
  while ((await state(page)).stop !== 'records') await press('PageUp');
  for (const name of left) {
    await press(name[0] < '3' ? '1' : '5');
    await enter(`landmark.${name}`);
    assert.equal((await state(page)).selection.landmark, name);
    await aimAt(await placedAt(page, name, exact));
    await press('Enter');
    assert.ok((await state(page)).case.landmarks.includes(name), `${name} is placed`);
  }
  await press('Escape');
  const read = await measures(page);
  assert.ok(Math.abs(valueOf(read, 'overjet') - 8) < 0.6, `overjet ${valueOf(read, 'overjet')}: made with 8`);
  await moveByKeys(page, press, enter);
  const { entries } = await state(page);
  assertClose([entries[0].forward_mm, entries[0].up_mm, entries[0].pitch_deg], [0.5, -0.5, 1.5]);
  await enter('row.overjet');
  assert.equal((await state(page)).selection.measure, 'overjet');
  await press('Escape');
  const [download] = await Promise.all([page.waitForEvent('download'), press('Control+s')]);
  await holdsAgainstTheCommandLine(page, folder, readFileSync(await download.path()));
  await context.close();
});

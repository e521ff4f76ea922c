// A case by mouse: a sample opened and read, the upper jaw sawn off and moved, bone in the way, the splint and the sheet. The
// command line does the same from the sample on.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run } from '../browser/command_line.mjs';
import { click, drag, typeNumber } from '../browser/hands.mjs';
import { assertClose } from '../browser/numbers.mjs';
import { contact, measures, settled, state } from '../browser/page.mjs';
import { colours } from '../browser/picture.mjs';
import { sharedServer } from '../browser/served.mjs';
import { openWindow } from './firefox.mjs';
import { assertShown, wordsOn } from './shown.mjs';

const checker = 'A. Checker';
const triangles = '60000';  // an arch of a sample that is opened from the start page

const untilDone = async (page) => {
  await page.waitForFunction(() => !window.intercusp.state().doing && !window.intercusp.state().cuts.waiting);
  await settled(page);
};

/** Opens a sample from the start page. */
async function openSample(page, name) {
  await click(page, 'home');
  await click(page, `sample.${name}`);
  await page.waitForFunction((wanted) => window.intercusp.state().case?.id === wanted, name);
  await untilDone(page);
}

test('a sample opened by mouse is the command line\'s to the byte, and the bite on the screen is what that measures', async (t) => {
  const made = join(folderFor(t), 'made.glb');
  run('sample', 'class3', '--triangles', triangles, '-o', made);
  const page = await openWindow((await sharedServer()).address);
  await openSample(page, 'open_bite');
  await openSample(page, 'class3');
  const read = reportOf('measure', made);
  assertClose((await measures(page)).measures, read.measures);
  await assertShown(page, ['overjet', 'overbite', 'midline_upper_lower', 'molar_right', 'molar_left', 'canine_right', 'canine_left'], read);
  await drawnTurnedAndZoomed(page);
  const [{ bytes }] = await page.download(['.glb'], () => click(page, 'save'));
  assert.ok(bytes.equals(readFileSync(made)), 'the saved file is the command line\'s');
});

async function drawnTurnedAndZoomed(page) {
  const { views, camera } = await state(page), [x, y, width, height] = views[0].rect;
  const picture = await colours(page, { x, y, width, height });
  assert.ok(picture.count > 2000 && picture.commonest < 0.5, `the jaws are drawn: ${JSON.stringify(picture)}`);
  const from = { x: x + 0.2 * width, y: y + 0.3 * height };
  await drag(page, from, { x: from.x + 60, y: from.y });
  await page.mouse.wheel({ deltaY: -200 });
  await settled(page);
  const after = (await state(page)).camera;
  assert.notDeepEqual(after.rotation, camera.rotation);
  assert.ok(after.half_height_mm < camera.half_height_mm, 'the wheel brings it nearer');
}

/** The same operation by the command line: the upper jaw forward, and then also up, into the bone above it. */
function operated(folder) {
  const [made, sawn, forward, up] = ['made', 'sawn', 'forward', 'up'].map((name) => join(folder, `${name}.glb`));
  run('sample', 'class3', '--bone', '--triangles', triangles, '-o', made);
  run('cut', made, '--plan', 'A', '--kind', 'lefort1', '-o', sawn);
  run('move', sawn, '--plan', 'A', '--segment', 'maxilla', '--forward', '3', '-o', forward);
  run('move', sawn, '--plan', 'A', '--segment', 'maxilla', '--forward', '3', '--up', '2', '-o', up);
  return { made, forward, up };
}

test('an operation by mouse: what is read, what is in the way, splint and sheet are the command line\'s', async (t) => {
  const folder = folderFor(t), { made, forward, up } = operated(folder);
  const page = await openWindow((await sharedServer()).address);
  await click(page, 'home');
  await click(page, 'start.bone');
  await click(page, 'sample.class3');
  await page.waitForFunction(() => window.intercusp.state().case.bodies.some(({ name }) => name === 'upper_bone'));
  await untilDone(page);
  await movedBoneReads(page, made, forward);
  await typeNumber(page, 'number.up', '2');
  await boneInTheWay(page, up);
  await splintToPrint(page, folder, up);
  await sheetOfPaper(page, folder, up);
});

async function movedBoneReads(page, made, moved) {
  await click(page, 'stop.cuts');
  await click(page, 'cut.lefort1');
  await page.waitForFunction(() => window.intercusp.state().segments.includes('maxilla'));
  await untilDone(page);
  await click(page, 'cuts.move');
  await click(page, 'step.1.0');
  for (const mm of [1, 2]) {
    await click(page, 'more.forward');
    assert.equal((await state(page)).entries[1].forward_mm, mm);
  }
  await typeNumber(page, 'number.forward', '3');
  const read = reportOf('measure', moved, '--plan', 'A');
  assertClose((await measures(page)).measures, read.measures);
  await assertShown(page, ['overjet', 'overbite', 'molar_right', 'molar_left'], read, reportOf('measure', made));
}

async function boneInTheWay(page, moved) {
  await click(page, 'stop.clearance');
  await untilDone(page);
  const there = reportOf('contact', moved, '--plan', 'A', '--after-removal', '0.5'), here = await contact(page);
  for (const part of ['pairs', 'plates', 'stability', 'on_the_way']) assertClose(here[part], there[part], part);
  const [deepest] = there.pairs.flatMap(({ regions }) => regions).sort((a, b) => b.deepest_mm - a.deepest_mm);
  const row = await wordsOn(page, 'clearance.0');
  assert.ok(row.includes(`${deepest.deepest_mm.toFixed(2)} mm`) && row.some((words) => words.toLowerCase() === deepest.site), `${row}`);
  await click(page, 'clearance_page.taken_off');
  await click(page, 'removal.make');
  await page.waitForFunction(() => window.intercusp.state().bone_removal);
  await untilDone(page);
  const { bones } = (await state(page)).bone_removal;
  assertClose(bones, there.removal.bones);
  assert.ok(bones.length > 0, 'bone is taken off');
}

async function splintToPrint(page, folder, moved) {
  await click(page, 'stop.splint');
  await click(page, 'splint.as_needed');
  await click(page, 'splint.make');
  await page.waitForFunction(() => window.intercusp.state().splint.made);
  await untilDone(page);
  await typeNumber(page, 'splint.checked_by', checker);
  const [solid, note] = await page.download(['.stl', '.txt'], () => click(page, 'splint.save.stl'));
  const path = join(folder, 'splint.stl');
  const report = reportOf('splint', moved, '--plan', 'A', '--opening', 'auto', '--checked-by', checker, '-o', path);
  assertClose((await state(page)).splint.made, report);
  assert.ok(report.upper.seats && report.lower.seats, 'both arches seat');
  assert.ok(solid.bytes.equals(readFileSync(path)), 'the STL is the command line\'s');
  assert.equal(note.bytes.toString(), readFileSync(join(folder, 'splint.txt'), 'utf8'));
}

async function sheetOfPaper(page, folder, moved) {
  await click(page, 'stop.sheet');
  const today = () => new Date().toISOString().slice(0, 10);
  const before = today();
  const [sheet] = await page.download(['.pdf'], () => click(page, 'sheet.pdf'));
  const made = [...new Set([before, today()])].map((date) => {
    const path = join(folder, `${date}.pdf`);
    run('sheet', moved, '--plan', 'A', '--checked-by', checker, '--date', date, '-o', path);
    return readFileSync(path);
  });
  assert.ok(made.some((bytes) => bytes.equals(sheet.bytes)), 'the sheet is the command line\'s, byte for byte');
}

// From two raw scans to the first reading, one click a tooth. The steps are the guide in docs/first-reading.md, in the same words.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { dropped, folderFor, reportOf, scannedSample, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click } from './hands.mjs';
import { dropFiles, freshContext, laptop, measures, openPage, root, savedCase, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';
import { clickTooth, lowerTeeth, upperTeeth } from './tooth_hands.mjs';

const mostClicks = 40;
const within = 0.5;  // mm: of a measure from proposed landmarks, against the exact one; common practice, no source
const read = ['overjet', 'overbite', 'midline_upper_lower', 'molar_right', 'molar_left', 'canine_right', 'canine_left'];

/** Each step: what the guide says, what the hand does, and how many clicks that took. */
const steps = (files, exact) => [
  ['Drop the two scans (STL, PLY or OBJ) anywhere on the page: the file names say which is the upper one.', 1, (page) =>
    dropFiles(page, [dropped('upper.stl', files.upper), dropped('lower.stl', files.lower)])],
  ['Choose *Click the teeth*. Both arches turn their chewing side to you.', 1, (page) => click(page, 'teeth.click')],
  [`In the upper arch click ${upperTeeth.join(', ')}, each once, anywhere on its crown. The number goes solid when the tooth is read.`,
    upperTeeth.length, async (page) => { for (const tooth of upperTeeth) await clickTooth(page, exact, tooth); }],
  [`In the lower arch click ${lowerTeeth.join(', ')}.`, lowerTeeth.length,
    async (page) => { for (const tooth of lowerTeeth) await clickTooth(page, exact, tooth); }],
  ['A ring marks a point that the program is not sure of: look at it, and drag the dot where it belongs. *It is ...* gives a tooth its '
    + 'neighbour\'s number. *Confirm* says that you looked.', 0, async () => {}],
  ['Choose *Done: the bite can be read*. The card at the right shows overjet, overbite, midlines, molar and canine relation.', 1,
    (page) => click(page, 'teeth.stop')],
];

const guide = () => ['# From two scans to the first reading', '',
  'A test does exactly these steps (`tests/browser/first_reading_test.mjs`) and counts the clicks.', '',
  ...steps().map(([words], i) => `${i + 1}. ${words}`), '',
  `That is ${steps().reduce((sum, [, clicks]) => sum + clicks, 0)} clicks. Every number is a proposal until the points are confirmed: a `
    + 'planning and teaching aid, to be verified against the records.', ''].join('\n');

test('first reading: the guide says what the test does', () => {
  const file = join(root, 'docs/first-reading.md');
  assert.equal(readFileSync(file, 'utf8'), guide(), `docs/first-reading.md should read:\n${guide()}`);
});

test('first reading: one click a tooth', async (t) => {
  const folder = folderFor(t);
  const files = scannedSample(folder, 'class3', 60000);
  const exact = JSON.parse(readFileSync(files.landmarks, 'utf8')).landmarks;
  const context = await freshContext(laptop);
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  let clicks = 0;
  for (const [words, count, hand] of steps(files, exact)) {
    await hand(page);
    if (count === 1) await page.waitForFunction(() => window.intercusp.state().case.bodies.length === 2);
    await settled(page);
    clicks += count;
    assert.ok(words);
  }
  assert.ok(clicks <= mostClicks, `${clicks} clicks`);
  const shown = await measures(page), truth = reportOf('measure', files.glb);
  for (const id of read) {
    const off = Math.abs(valueOf(shown, id) - valueOf(truth, id));
    assert.ok(off < within, `${id}: ${valueOf(shown, id)}, by construction ${valueOf(truth, id)}`);
    assert.equal(shown.measures.find((m) => m.id === id).class, truth.measures.find((m) => m.id === id).class, id);
  }
  const path = written(folder, 'read.glb', await savedCase(page));
  assertClose(shown.measures, reportOf('measure', path).measures);
  const { doubtful } = (await state(page)).case;
  if (doubtful.length > 0) {
    await click(page, 'hint');
    await click(page, 'landmark.confirm');
    assert.deepEqual((await state(page)).case.doubtful, doubtful.slice(1), 'the hint leads to the point that asks for a look');
    await click(page, 'undo');
  }
  const before = (await state(page)).case.landmarks.length;
  await click(page, 'undo');
  assert.ok((await state(page)).case.landmarks.length < before, 'a click on a tooth is one step back');
  await context.close();
});

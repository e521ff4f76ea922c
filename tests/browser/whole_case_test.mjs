// The whole job on the screen: raw scans and bone in, teeth clicked, scans laid on the bone, a Le Fort I cut, the upper jaw moved
// and seated, bone in the way, the splint, the sheet. The steps are the guide in docs/whole-case.md, in the same words, its
// clicks are counted here and its pictures are made by this test:
//   INTERCUSP_WRITE_DOCS=1 node tests/browser/run.mjs whole_case
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { dropped, folderFor, reportOf, run, written } from './command_line.mjs';
import { assertClose, valueOf } from './numbers.mjs';
import { click, typeNumber } from './hands.mjs';
import { act, contact, dropFiles, freshContext, laptop, measures, openPage, root, savedCase, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';
import { openStl, posedPoints, posedStl, tilted } from './posed_scan.mjs';
import { clickTooth, lowerTeeth, upperTeeth } from './tooth_hands.mjs';

const mostClicks = 90;
const writes = Boolean(process.env.INTERCUSP_WRITE_DOCS);
const bodies = ['upper_arch', 'lower_arch', 'upper_bone', 'lower_bone', 'upper_roots', 'lower_roots'];
const scanned = { upper_arch: ([, , z]) => z < 11, lower_arch: ([, , z]) => z > -10.5 };
const checker = 'A. Checker';

/** Scans as the scanner gives them, bone and its points as the CT gives them: each in a frame of its own. */
function records(folder) {
  const glb = join(folder, 'made.glb'), all = join(folder, 'all.json');
  run('sample', 'class3_prepared', '--bone', '--crowns', '--triangles', '40000', '-o', glb);
  run('export', glb, '--landmarks', '-o', all);
  const made = JSON.parse(readFileSync(all, 'utf8'));
  const onScan = (name) => /^\d|^raphe/.test(name);
  const pick = (which) => Object.fromEntries(Object.entries(made.landmarks).filter(([name]) => which(name)));
  const skull = written(folder, 'ct_points.json', JSON.stringify({ units: made.units, landmarks: pick((name) => !onScan(name)) }));
  const files = [dropped('ct_points.json', skull)];
  for (const body of bodies) {
    const path = join(folder, `${body}.stl`);
    run('export', glb, '--body', body, '-o', path);
    const bytes = readFileSync(path), seen = scanned[body];
    files.push({ name: `${body}.stl`, bytes: seen ? posedStl(openStl(bytes, seen), tilted) : bytes });
  }
  return { files, exact: posedPoints(pick(onScan), tilted) };
}

/** What the hand does; it counts. */
class Hand {
  constructor(page) {
    this.page = page;
    this.clicks = 0;
  }

  async press(id) {
    await click(this.page, id);
    this.clicks += 1;
  }

  async type(id, text) {
    await typeNumber(this.page, id, text);
    this.clicks += 1;
  }

  async drop(files) {
    await dropFiles(this.page, files);
    this.clicks += 1;
  }

  async tooth(exact, tooth) {
    await clickTooth(this.page, exact, tooth);
    this.clicks += 1;
  }

  async save(id, ending) {
    const wanted = (download) => download.suggestedFilename().endsWith(ending);
    const [download] = await Promise.all([this.page.waitForEvent('download', wanted), this.press(id)]);
    return readFileSync(await download.path());
  }

  async until(holds, argument) {
    await this.page.waitForFunction(holds, argument);
    await settled(this.page);
  }
}

const idle = () => !window.intercusp.state().doing && !window.intercusp.state().cuts.waiting;

/** Each step: what the guide says, its picture, what the hand does. `kept`: what later checks look at. */
const steps = (made, kept) => [
  ['Drop all files of the patient on the page at once: both scans, the jaw bones and roots of the CT, and the points that came with '
    + 'the CT. File names say what each one is; *Change* beside it in *Records* says otherwise.', 'dropped', async (hand) => {
    await hand.drop(made.files);
    await hand.until((count) => window.intercusp.state().case?.bodies.length === count, bodies.length);
    await hand.until(idle);
  }],
  [`Choose *Next*, which is to click 14 teeth: both arches turn their chewing side to you. Click ${upperTeeth.join(', ')} in the upper `
    + `arch and ${lowerTeeth.join(', ')} in the lower one, each once, anywhere on its crown, then `
    + '*Done: the bite can be read*.', 'teeth', async (hand) => {
    await hand.press('hint');
    for (const tooth of [...upperTeeth, ...lowerTeeth]) await hand.tooth(made.exact, tooth);
    await hand.press('teeth.stop');
  }],
  ['In *Records* choose *Lay the scans on the bone*. It says how well they lie.', 'laid', async (hand) => {
    await hand.press('stop.records');
    await hand.press('lay_on_bone');
    await hand.until(idle);
    kept.start = await measures(hand.page);
  }],
  ['In *Cuts* choose *Le Fort I*. The line lies 5 mm above the highest root tip, which is read from the roots of the CT; where there are '
    + 'none it lies 3 mm above the nasal floor, and the panel says so. Drag it where you want it. Beside it stands what it comes near. '
    + 'The bone is sawn while you look.', 'cut', async (hand) => {
    await hand.press('stop.cuts');
    await hand.press('cut.lefort1');
    await hand.until(() => window.intercusp.state().segments.includes('maxilla'));
    await hand.until(idle);
  }],
  ['*Move the pieces* goes on. Type 6 at *forward*: the upper jaw comes forward, and overjet, molars and canines follow.', 'moved',
    async (hand) => {
      await hand.press('cuts.move');
      await hand.type('number.forward', '6');
      await hand.until(idle);
    }],
  ['In *Target* choose *Look for positions*, then the first one: the upper jaw goes to where the teeth meet best in Class I. The list '
    + 'shows how many teeth touch on each side, and what speaks against each position.', 'seated', async (hand) => {
    await hand.press('stop.target');
    await hand.press('seat.look');
    await hand.until(() => window.intercusp.state().seating.offers > 0);
    await hand.press('seat.0');
    await hand.until(idle);
  }],
  ['*Clearance* lists where bone or teeth are in the way, deepest first, and what the plan itself takes off apart from it. A click on a '
    + 'row goes there.', 'clearance', async (hand) => {
    await hand.press('stop.clearance');
    await hand.until(idle);
    kept.contact = await contact(hand.page);
  }],
  ['In *Splint* choose *As little as leaves room* and *Make the splint*. It says whether both arches seat in it and where it is thin. '
    + 'Type the name of who checked it, then *Save STL*.', 'splint', async (hand) => {
    await hand.press('stop.splint');
    await hand.press('splint.as_needed');
    await hand.press('splint.make');
    await hand.until(idle);
    await hand.type('splint.checked_by', checker);
    kept.splint = await hand.save('splint.save.stl', '.stl');
  }],
  ['In *Sheet* choose *Make the sheet (PDF)*: one page for theatre.', 'sheet', async (hand) => {
    await hand.press('stop.sheet');
    kept.sheet = await hand.save('sheet.pdf', '.pdf');
  }],
];

const guide = (clicks) => ['# A whole case, from scans to the sheet', '',
  'A Class III prepared for surgery: the arches fit each other, the upper jaw is to come forward (`intercusp sample class3_prepared --bone '
    + '--crowns` makes these records). A test does exactly these steps (`tests/browser/whole_case_test.mjs`), holds '
    + 'readings, clearance and sheet against the command line, and makes the pictures.', '',
  ...steps().flatMap(([words, picture], i) => [`${i + 1}. ${words}`, '', `   ![Step ${i + 1}](pictures/whole-case/${picture}.jpg)`, '']),
  `That is ${clicks} clicks. Every number is a proposal until the points are confirmed: a planning aid, not a medical device; verify it `
    + 'against the records, and let licensed practice and local rules decide. The file of the splint comes with a note: verify its fit on '
    + 'printed models, material and sterilisation by local rules.', ''].join('\n');

/** What the page shows, held against the command line on the case as it was saved. */
async function holdsAgainstTheCommandLine(page, folder, kept) {
  const saved = written(folder, 'saved.glb', await savedCase(page));
  const { plan } = await state(page);
  assertClose((await measures(page)).measures, reportOf('measure', saved, '--plan', plan).measures);
  const read = reportOf('contact', saved, '--plan', plan);
  assertClose(kept.contact.pairs, read.pairs);
  assertClose(kept.contact.plates, read.plates);
  assert.deepEqual(kept.contact.stability, read.stability);
  const pdf = join(folder, 'sheet.pdf'), day = new Date(Date.now()).toISOString().slice(0, 10);
  run('sheet', saved, '--plan', plan, '--checked-by', checker, '--date', day, '-o', pdf);
  assert.ok(kept.sheet.equals(readFileSync(pdf)), 'the sheet of the page is that of the command line');
}

test('whole case: from raw scans and bone to splint and sheet, in the steps and clicks of the guide', async (t) => {
  const folder = folderFor(t), kept = {}, made = records(folder);
  const context = await freshContext({ ...laptop, drawn: writes });
  const page = await openPage(context, (await sharedServer()).address);
  await act(page, 'guide', { on: false });
  const hand = new Hand(page), pictures = join(root, 'docs/pictures/whole-case');
  if (writes) mkdirSync(pictures, { recursive: true });
  for (const [, picture, does] of steps(made, kept)) {
    await does(hand);
    if (writes) await page.screenshot({ path: join(pictures, `${picture}.jpg`), type: 'jpeg', quality: 80 });
  }
  assert.ok(hand.clicks < mostClicks, `${hand.clicks} clicks`);
  const end = await measures(page);
  assert.ok(Math.abs(valueOf(kept.start, 'overjet') + 4) < 0.6, `overjet at the start ${valueOf(kept.start, 'overjet')}: made with -4`);
  assert.ok(Math.abs(valueOf(end, 'overjet') - 2.5) < 0.6, `overjet planned ${valueOf(end, 'overjet')}: the arches fit at 2.5`);
  for (const id of ['molar_right', 'molar_left', 'canine_right', 'canine_left']) {
    assert.equal(kept.start.measures.find((m) => m.id === id).class, 'III', id);
    assert.equal(end.measures.find((m) => m.id === id).class, 'I', id);
  }
  assert.ok(kept.splint.length > 84 + 50 * 20000, 'a splint of tens of thousands of triangles');
  await holdsAgainstTheCommandLine(page, folder, kept);
  assert.deepEqual(context.errors, []);
  const file = join(root, 'docs/whole-case.md');
  if (writes) writeFileSync(file, guide(hand.clicks));
  assert.equal(readFileSync(file, 'utf8'), guide(hand.clicks), 'docs/whole-case.md says what the test does');
  await context.close();
});

// A student with a teacher's set, and two people on one case in windows of their own: the command line makes the set and marks its
// result, and reads the shared case by the same link.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { folderFor, reportOf, run, written } from '../browser/command_line.mjs';
import { click, typeNumber } from '../browser/hands.mjs';
import { assertClose } from '../browser/numbers.mjs';
import { measures, settled, startServer, state } from '../browser/page.mjs';
import { introduce, review, sameCase, until, untilForward } from '../browser/reviewers.mjs';
import { sharedServer } from '../browser/served.mjs';
import { openWindow } from './firefox.mjs';
import { assertShown } from './shown.mjs';

/** The right answer to a question, by hand; `key` as the command line has it. */
async function answer(page, { form, key }) {
  if (form === 'choice') await click(page, `practice.choice.${key.credits.indexOf(1) + 1}`);
  else if (form === 'tooth') await click(page, `practice.tooth.${key.teeth[0]}`);
  else {
    await typeNumber(page, 'practice.number', Math.abs(key.value).toFixed(1));
    await click(page, `practice.way.${key.value < 0 ? 'negative' : 'positive'}`);
  }
  await click(page, 'practice.answer');
}

test('practice: a set begun by its link, answered by mouse, marked; its result is marked the same by the command line', async (t) => {
  const code = run('practice', '--make-set', '--seed', '9', '--count', '3', '--kinds', 'molar,overjet,notation', '--difficulty', '3').trim();
  const { questions } = JSON.parse(run('practice', '--set', code, '--format', 'json', '--answers', '/dev/null'));
  const page = await openWindow(`${(await sharedServer()).address}#${code}`);
  for (const [i, question] of questions.entries()) {
    await page.waitForFunction((n) => window.intercusp.state().practice?.number === n && window.intercusp.state().practice.question, i + 1);
    await settled(page);
    const asked = (await state(page)).practice;
    assert.equal(asked.key, undefined);
    for (const part of ['kind', 'seed', 'prompt']) assert.equal(asked.question[part], question[part]);
    await answer(page, question);
    const marked = (await state(page)).practice;
    assert.equal(marked.mark.verdict, 'right', question.prompt);
    assert.equal(marked.key.truth, question.key.truth);
    await click(page, 'practice.next');
  }
  const { finished, credit } = (await state(page)).practice;
  assert.deepEqual([finished, credit], [true, 3]);
  await click(page, 'practice.by');
  await page.keyboard.type('A. Student');
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => window.intercusp.state().practice.hand_in.signed);
  await settled(page);
  const [result] = await page.download(['.txt'], () => click(page, 'practice.result_file'));
  const table = run('practice', '--gather', written(folderFor(t), result.name, result.bytes), '--set', code);
  assert.match(table, /A. Student: 3 of 3, key [0-9a-f]{4} /);
});

test('review: shared from one window, opened in another, moved, read by the command line, agreed', async (t) => {
  const folder = folderFor(t), server = await startServer('--store', join(folder, 'store'));
  t.after(() => server.stop());
  const a = await openWindow(server.address);
  await click(a, 'stop.movement');
  await typeNumber(a, 'number.forward', '3');
  await click(a, 'share');
  await introduce(a, 'R. Falk', 'orthodontist');
  await click(a, 'share.review');
  await until(a, () => window.intercusp.state().review?.connection === 'live');
  const { change_link: link } = await review(a);
  await a.keyboard.press('Escape');

  const b = await openWindow(link);
  await introduce(b, 'M. Brandt', 'surgeon');
  await click(b, 'join.open');
  await until(b, () => window.intercusp.state().review?.connection === 'live');
  await until(a, () => window.intercusp.state().review.people[0]?.name === 'M. Brandt');
  await settled(b);
  await untilForward(b, 3);

  await typeNumber(a, 'number.forward', '4.5');
  await untilForward(b, 4.5);
  await click(b, 'stop.movement');
  await click(b, 'more.up');
  await until(a, () => window.intercusp.state().entries[0].up_mm === 0.5);
  await sameCase(a, b);
  const path = join(folder, 'shared.glb');
  run('fetch', link, '-o', path);
  const there = reportOf('measure', path, '--plan', 'A');
  for (const page of [a, b]) {
    await settled(page);
    assertClose((await measures(page)).measures, there.measures);
    await assertShown(page, ['overjet', 'overbite', 'molar_right', 'molar_left'], there, reportOf('measure', path));
  }

  for (const page of [a, b]) await click(page, 'stop.agree');
  await click(a, 'agree.occlusion');
  await until(b, () => window.intercusp.state().review.agreed.length === 1);
  await click(b, 'agree.movement');
  await until(a, () => window.intercusp.state().review.agreed.length === 2);
  for (const page of [a, b]) {
    assert.deepEqual((await review(page)).agreed.map(({ part, name, current }) => [part, name, current]),
      [['occlusion', 'R. Falk', true], ['movement', 'M. Brandt', true]]);
  }
});

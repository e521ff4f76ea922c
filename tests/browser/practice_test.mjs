// Practice in the page: a set asks and marks as the terminal does, the next question waits ready, and leaving brings the case back.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { run } from './command_line.mjs';
import { act, freshContext, openPage, settled, state } from './page.mjs';
import { click } from './hands.mjs';
import { sharedServer } from './served.mjs';

const same = (a, b) => Math.abs(a - b) < 1e-6;

test('practice: a set is the same as in the terminal, from the link to the result', async () => {
  const code = run('practice', '--make-set', '--seed', '9', '--count', '2', '--kinds', 'molar,overjet', '--difficulty', '3').trim();
  const wanted = JSON.parse(run('practice', '--set', code, '--format', 'json', '--answers', '/dev/null')).questions;
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  const before = (await state(page)).case.id;
  await act(page, 'practice', { set: code });
  for (const [i, question] of wanted.entries()) {
    const shown = (await state(page)).practice;
    assert.equal(shown.number, i + 1);
    assert.equal(shown.key, undefined);  // the answer is not there before it was given
    for (const key of ['kind', 'seed', 'difficulty', 'prompt']) assert.equal(shown.question[key], question[key]);
    assert.deepEqual(shown.question.choices, question.choices);
    assert.equal((await state(page)).widgets.bite_card, undefined);
    const text = question.form === 'choice' ? String(question.key.credits.indexOf(1) + 1) : question.key.value.toFixed(2);
    const marked = await act(page, 'practice_answer', { text });
    assert.equal(marked.mark.verdict, 'right');
    assert.equal(marked.key.truth, question.key.truth);
    if (question.form === 'number') assert.ok(same(marked.key.value, question.key.value));
    assert.ok((await state(page)).widgets.bite_card);
    if (i + 1 === wanted.length) break;
    // The next one is prepared beside the screen (practice_speed.mjs holds the time).
    await page.waitForFunction(() => window.intercusp.state().practice.ready, undefined, { timeout: 60000 });
    await act(page, 'practice_next');
  }
  const { result } = await act(page, 'practice_result', { by: 'A. Student' });
  const gathered = await act(page, 'practice_gather', { set: code, results: [result] });
  assert.match(gathered.text, /A. Student: 2 of 2/);
  await act(page, 'practice_next');
  assert.ok((await state(page)).practice.finished);
  await act(page, 'practice_leave');
  const after = await state(page);
  assert.equal(after.practice, undefined);
  assert.equal(after.case.id, before);
  assert.deepEqual(context.errors, []);
  await context.close();
});

test('practice: a hand begins, answers and sees why', async () => {
  const context = await freshContext();
  const page = await openPage(context, (await sharedServer()).address);
  await act(page, 'home');
  await click(page, 'start.practice');
  await page.waitForFunction(() => window.intercusp.state().practice?.question, undefined, { timeout: 60000 });
  await settled(page);
  await click(page, 'practice.choice.1');
  await click(page, 'practice.answer');
  await page.waitForFunction(() => window.intercusp.state().practice.mark);
  await settled(page);
  const shown = await state(page);
  assert.match(shown.selection.measure, /molar_/);  // its construct stands on the model
  assert.ok(shown.widgets['practice.next']);
  const kept = await page.evaluate(() => localStorage.getItem('intercusp.setting.practice_progress'));
  assert.equal(JSON.parse(kept).answers.length, 1);
  const { link } = await act(page, 'practice_set', { kinds: ['notation'], count: 2, title: 'Group A' });
  await page.evaluate((target) => { location.hash = new URL(target).hash; }, link);
  await page.waitForFunction(() => window.intercusp.state().practice?.count === 2 && window.intercusp.state().practice.question);
  assert.deepEqual(context.errors, []);
  await context.close();
});

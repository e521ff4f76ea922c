// Practice in the page: a set asks and marks as the terminal does, the next question waits ready, and leaving brings the case back.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderFor, run, written } from './command_line.mjs';
import { act, dropFiles, freshContext, openPage, ready, settled, startServer, state } from './page.mjs';
import { click } from './hands.mjs';
import { sharedServer } from './served.mjs';

/** The result of the set that is finished, once this browser has signed it. */
async function signedResult(page, by) {
  await act(page, 'practice_result', { by });
  await page.waitForFunction(() => !window.intercusp.state().practice.hand_in.signing);
  const handed = await act(page, 'practice_result');
  assert.ok(handed.signed, 'this browser signs');
  return handed;
}

const results = async (page) => (await state(page)).class.results;
const untilMarked = (page, students) => page.waitForFunction(
  (n) => window.intercusp.state().class?.results.students?.length === n, students, { timeout: 120000 });

/** Answers a set to its end, each question with the same text. */
async function answerSet(page, text) {
  for (;;) {
    await page.waitForFunction(() => window.intercusp.state().practice?.question, undefined, { timeout: 120000 });
    await act(page, 'practice_answer', { text });
    await act(page, 'practice_next');
    if ((await state(page)).practice.finished) return;
  }
}

/** A server of one test, which keeps what is shared in `store` until it ends. */
async function ownServer(t) {
  const store = mkdtempSync(join(tmpdir(), 'intercusp-store-'));
  const server = await startServer('--store', store);
  t.after(async () => { await server.stop(); rmSync(store, { recursive: true, force: true }); });
  return { ...server, store };
}

/** A student's page that the link opens. */
async function openLink(page, link) {
  await page.goto(link);
  await ready(page);
}

const same = (a, b) => Math.abs(a - b) < 1e-6;

test('practice: a set is the same as in the terminal, from the link to the result', async (t) => {
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
  await act(page, 'practice_next');
  assert.ok((await state(page)).practice.finished);
  const { result } = await signedResult(page, 'A. Student');
  await act(page, 'practice_leave');
  const after = await state(page);
  assert.equal(after.practice, undefined);
  assert.equal(after.case.id, before);
  // What this browser signed, the terminal finds whole.
  const table = run('practice', '--gather', written(folderFor(t), 'results.txt', result), '--set', code);
  assert.match(table, /A. Student: 2 of 2, key [0-9a-f]{4} /);
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
  await click(page, 'practice.step.1');
  await click(page, 'practice.way.positive');
  await click(page, 'practice.answer');
  await page.waitForFunction(() => window.intercusp.state().practice.mark);
  await settled(page);
  const shown = await state(page);
  assert.ok(shown.selection.measure.startsWith(shown.practice.question.kind));  // its construct stands on the model
  assert.ok(shown.widgets['practice.next']);
  const kept = await page.evaluate(() => localStorage.getItem('intercusp.setting.practice_progress'));
  assert.equal(JSON.parse(kept).answers.length, 1);
  const { link } = await act(page, 'practice_set', { kinds: ['notation'], count: 2, title: 'Group A' });
  await page.evaluate((target) => { location.hash = new URL(target).hash; }, link);
  await page.waitForFunction(() => window.intercusp.state().practice?.count === 2 && window.intercusp.state().practice.question);
  assert.deepEqual(context.errors, []);
  await context.close();
});

test('practice: a teacher makes a set, and the table of its results is the terminal\'s, byte for byte', async (t) => {
  const context = await freshContext({ viewport: { width: 1366, height: 768 } });
  const page = await openPage(context, (await sharedServer()).address);
  await act(page, 'home');
  await click(page, 'start.class');
  await click(page, 'class.kinds.none');
  await click(page, 'class.kind.notation');
  await act(page, 'class_draft', { count: 2, title: 'Group A' });
  await click(page, 'class.make');
  const made = (await state(page)).class;
  assert.match(made.link, /^http:\/\/[^#]+#set1-/);
  const codes = ['11', '21'].map((tooth) => JSON.parse(run('practice', '--set', made.link, '--format', 'json', '--by', `S. ${tooth}`,
    '--answers', written(folderFor(t), 'answers.txt', `${tooth}\n${tooth}\n`))).result);
  // An altered result whose check sum fits again: only the signature tells.
  const [body, key, signature] = codes[0].replace('res2-', '').split('.');
  const forged = `res2-${Buffer.from(Buffer.from(body, 'base64url').toString().replace('"11"', '"12"')).toString('base64url')}.${key}.${signature}`;
  const { createHash } = await import('node:crypto');
  const check = createHash('sha256').update(forged + made.set).digest('hex').slice(0, 10);
  const text = `${codes[0]}\n${forged}.${check}\n${codes[1]}\n${codes[1].slice(0, 50)}\n`;
  await dropFiles(page, [{ name: 'results.txt', bytes: Buffer.from(text) }]);
  await untilMarked(page, 2);
  await settled(page);
  const shown = await results(page);
  assert.deepEqual(shown.troubles.map(({ line }) => line), [2, 4]);
  assert.match(shown.troubles[0].words, /altered after it was signed/);
  assert.equal(shown.one_hand.length, 1);  // both came from one terminal
  assert.ok((await state(page)).widgets['class.plot.2']);
  await click(page, 'class.by_student');
  assert.ok((await state(page)).widgets['class.table']);
  const download = page.waitForEvent('download');
  await click(page, 'class.save');
  const csv = readFileSync(await (await download).path(), 'utf8');
  const file = written(folderFor(t), 'sound.txt', `${codes.join('\n')}\n`);
  assert.equal(csv, run('practice', '--gather', file, '--set', made.set, '--format', 'csv'));
  await page.keyboard.press('Escape');
  await settled(page);
  assert.equal((await state(page)).class, undefined);
  assert.deepEqual(context.errors, []);
  await context.close();
});

test('practice: results go to the teacher\'s inbox, sealed, and only the teacher\'s browser opens them', async (t) => {
  const server = await ownServer(t);
  const teachers = await freshContext({ viewport: { width: 1366, height: 768 } });
  const teacher = await openPage(teachers, server.address);
  await act(teacher, 'class_page');
  await act(teacher, 'class_make', { inbox: true, days: 7, count: 1, kinds: ['notation'], title: 'Group B' });
  await teacher.waitForFunction(() => window.intercusp.state().class.link);
  const { link } = (await state(teacher)).class;
  assert.match(link, /&inbox=1\./);

  const students = await freshContext();
  const student = await students.newPage();
  const sent = [];
  student.on('request', (request) => sent.push(Buffer.from(request.url()), request.postDataBuffer() ?? Buffer.alloc(0)));
  await openLink(student, link);
  await answerSet(student, '11');
  await signedResult(student, 'Quillon');
  await settled(student);
  await click(student, 'practice.send');
  await student.waitForFunction(() => window.intercusp.state().practice.hand_in.sent === 'yes');
  const kept = readdirSync(server.store).map((name) => readFileSync(join(server.store, name)));
  for (const bytes of [Buffer.concat(sent), ...kept]) assert.equal(bytes.includes('Quillon') || bytes.includes('res2-'), false);

  // The page of the same browser later, after a reload: the key is kept.
  await teacher.reload();
  await teacher.waitForFunction(() => window.intercusp?.ready);
  await teacher.evaluate(() => window.intercusp.ready.then(() => true));
  await act(teacher, 'class_page');
  await act(teacher, 'class_choose', { index: 0 });
  await settled(teacher);
  await click(teacher, 'class.fetch');
  await untilMarked(teacher, 1);
  const shown = await results(teacher);
  assert.equal(shown.students[0].by, 'Quillon');
  assert.match(shown.students[0].key, /^[0-9a-f]{4} /);
  assert.deepEqual(shown.troubles, []);

  // Another browser that has the same link cannot fetch.
  await act(student, 'class_page');
  await act(student, 'class_choose', { set: link });
  await act(student, 'class_fetch');
  await student.waitForFunction(() => /not made in this browser/.test(window.intercusp.state().class.results.fetched));

  // A set made in the terminal: this page seals what that program opens, and its signature holds there.
  const terminals = run('practice', '--make-set', '--seed', '7', '--count', '1', '--kinds', 'notation', '--inbox', server.address).trim();
  await act(student, 'practice', { set: terminals });
  await answerSet(student, '11');
  await signedResult(student, 'Rosalind');
  await act(student, 'practice_send');
  await student.waitForFunction(() => window.intercusp.state().practice.hand_in.sent === 'yes');
  assert.match(run('practice', '--fetch', '--set', terminals), /Rosalind: [\d.]+ of 1, key [0-9a-f]{4} /);

  await act(teacher, 'class_delete_inbox');
  await teacher.waitForFunction(() => /deleted/.test(window.intercusp.state().class.results.fetched));
  await act(student, 'practice', { set: link });
  await answerSet(student, '21');
  await signedResult(student, 'Too late');
  await act(student, 'practice_send');
  await student.waitForFunction(() => window.intercusp.state().practice.hand_in.sent === 'failed');
  assert.deepEqual(teachers.errors, []);
  await students.close();
  await teachers.close();
});

test('practice: a graded set asks from the server, keeps the answers and leaves the marks to the teacher', async (t) => {
  const server = await ownServer(t);
  const teachers = await freshContext({ viewport: { width: 1366, height: 768 } });
  const teacher = await openPage(teachers, server.address);
  await act(teacher, 'class_page');
  await act(teacher, 'class_draft', { count: 2, kinds: ['overjet', 'notation'], title: 'Term test', inbox: true, days: 7 });
  await settled(teacher);
  await click(teacher, 'class.graded');
  await click(teacher, 'class.make');
  await teacher.waitForFunction(() => window.intercusp.state().class.link);
  const { link, set } = (await state(teacher)).class;
  assert.match(link, /#ticket1-[^&]+&inbox=1\./);
  assert.match(set, /^gset1-/);

  const students = await freshContext({ viewport: { width: 1366, height: 768 } });
  const student = await students.newPage();
  await openLink(student, link);
  const untilAsked = (number) => student.waitForFunction(
    (n) => window.intercusp.state().practice?.number === n && window.intercusp.state().practice.question, number, { timeout: 120000 });
  await untilAsked(1);
  await settled(student);
  const first = await state(student);
  assert.ok(first.practice.graded);
  assert.equal(first.practice.question.seed, 1);  // its number: the seed stays on the server
  assert.equal(first.practice.key, undefined);
  assert.deepEqual(first.case.landmarks, []);
  assert.equal(first.widgets.bite_card, undefined);
  // The same question as the teacher's program makes of the set.
  const wanted = JSON.parse(run('practice', '--set', set, '--format', 'json', '--answers', '/dev/null')).questions;
  assert.equal(first.practice.question.prompt, wanted[0].prompt);
  await act(student, 'practice_draft', { number: Math.abs(wanted[0].key.value), negative: wanted[0].key.value < 0 });
  await settled(student);
  await click(student, 'practice.answer');
  await untilAsked(2);
  const second = (await state(student)).practice;
  assert.equal(second.mark, undefined);
  assert.equal(second.question.prompt, wanted[1].prompt);
  await act(student, 'practice_answer', { text: String(wanted[1].key.teeth[0]) });
  const ended = (await state(student)).practice;
  assert.ok(ended.finished);
  assert.equal(ended.credit, 0);
  await signedResult(student, 'Quillon');
  await settled(student);
  assert.equal((await state(student)).widgets['practice.keep'], undefined);
  await click(student, 'practice.send');
  await student.waitForFunction(() => window.intercusp.state().practice.hand_in.sent === 'yes');
  assert.equal(await student.evaluate(() => localStorage.getItem('intercusp.setting.practice_progress')), null);

  await act(teacher, 'class_choose', { index: 0 });
  await settled(teacher);
  await click(teacher, 'class.fetch');
  await untilMarked(teacher, 1);
  assert.equal((await results(teacher)).students[0].credit, 2);
  // The students' link marks nothing.
  await assert.rejects(act(teacher, 'class_gather', { set: link, results: ['res1-x.0'] }), /your own set code/);

  // A server that went away is said, and asked again by hand.
  await server.stop();
  await act(student, 'practice', { set: link });
  await student.waitForFunction(() => window.intercusp.state().practice.trouble);
  await settled(student);
  assert.ok((await state(student)).widgets['practice.again_for']);
  assert.deepEqual(teachers.errors, []);
  await students.close();
  await teachers.close();
});

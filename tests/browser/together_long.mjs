// Three hands on one case: two browsers and the desktop window. First how soon one sees what another does; then random edits by
// all three at once, while the server is killed and started again and a browser loses its network: in the end all three hold the
// same case to the byte, and nothing that anybody said or did is missing. INTERCUSP_EDITS: how many (2,000).
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { setTimeout as pause } from 'node:timers/promises';
import { atControls, introduceAt, startDisplay, startView, until as untilShown } from '../window/window_hands.mjs';
import { folderFor } from './command_line.mjs';
import { act, freshContext, openPage, startServer } from './page.mjs';
import { follow, review, shareSample, small, until } from './reviewers.mjs';

const edits = Number(process.env.INTERCUSP_EDITS ?? 2000);

/** The same numbers each time. */
function numbersFrom(seed) {
  let x = seed;
  return (below) => { x = (Math.imul(x, 1664525) + 1013904223) >>> 0; return Math.floor((x / 2 ** 32) * below); };
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** Runs a command of a page without waiting for its picture. */
const quick = (page, name, args) => page.evaluate(async ([n, a]) => { await window.intercusp.act(n, a); }, [name, args]);

/** Two pages and a window, all of them in the room. */
async function threeTogether(t, server) {
  const folder = folderFor(t), at = (name) => join(folder, name);
  const contexts = [await freshContext(small), await freshContext(small)];
  await contexts[1].addInitScript(tellMessages);
  const a = await openPage(contexts[0], server.address);
  const { change_link: link } = await shareSample(a);
  const b = await follow(contexts[1], link, 'M. Brandt', 'surgeon');
  const view = await startView(t, await startDisplay(t), folder, '--link', link, '--state', at('state.json'));
  const w = { ...view, ...atControls(view.hands, at('state.json')) };
  await introduceAt(w, 'K. Lind', 'surgeon');
  await w.click('join.open');
  await w.showing('the room', (s) => s.case && s.review?.connection === 'live');
  await w.click('stop.movement');
  await w.showing('the movement', (s) => s.widgets?.['more.forward']);
  return { a, b, w, context: contexts[1] };
}

/** Runs a command of a page, and gives when, by the clock of the machine. */
const doneAt = (page, name, args) => page.evaluate(async ([n, a]) => {
  const began = Date.now();
  await window.intercusp.act(n, a);
  return began;
}, [name, args]);

/** When it first held on a page. Looked at when something came from the server, since looking takes the page time too. */
const heldAt = (page, holds, arg) => page.evaluate(([words, value]) => new Promise((resolve) => {
  const check = new Function('state', 'value', `return ${words}`);
  const look = () => {
    const at = Date.now();
    if (!check(window.intercusp.state(), value)) return false;
    window.cameFromServer = null;
    clearInterval(nowAndThen);
    resolve(at);
    return true;
  };
  const nowAndThen = setInterval(look, 400);
  window.cameFromServer = () => { for (const after of [2, 10, 20, 40, 80, 160]) setTimeout(() => window.cameFromServer && look(), after); };
}), [holds, arg]);

/** Calls window.cameFromServer for every message of a room. */
function tellMessages() {
  const { set } = Object.getOwnPropertyDescriptor(WebSocket.prototype, 'onmessage');
  const listen = WebSocket.prototype.addEventListener;
  const told = (use) => (event) => {
    use(event);
    window.cameFromServer?.();
  };
  Object.defineProperty(WebSocket.prototype, 'onmessage', { set(use) { set.call(this, told(use)); } });
  WebSocket.prototype.addEventListener = function add(name, use, options) {
    return listen.call(this, name, name === 'message' ? told(use) : use, options);
  };
}

/** How long it takes from one page to the other, ms: the median over some values. */
async function waits(values, done, holds) {
  const taken = [];
  for (const value of values) {
    await pause(600);  // what follows closely waits for the pause
    const held = holds(value);
    const began = await done(value);
    taken.push((await held) - began);
  }
  return median(taken);
}

test('review: what one does is seen by the others at once', async (t) => {
  const server = await startServer('--store', folderFor(t));
  t.after(() => server.stop());
  const { a, b, w } = await threeTogether(t, server);
  const steps = [3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7, 7.5, 8, 8.5];
  const move = (mm) => doneAt(a, 'set_movement', { segment: 'upper', forward: mm });
  const moved = await waits(steps, move, (mm) => heldAt(b, 'state.entries?.[0]?.forward_mm === value', mm));
  const said = await waits(steps, (mm) => doneAt(a, 'remark', { measure: 'overjet', text: `said ${mm}` }),
    (mm) => heldAt(b, 'state.review.remarks.some((one) => one.text === value)', `said ${mm}`));
  await act(a, 'view', { name: 'right' });
  const point = 'JSON.stringify(state.review.people.find(({ name }) => name === "R. Falk")?.pointer?.point)';
  const pointer = () => b.evaluate(`((state) => ${point})(window.intercusp.state())`);
  let last = await pointer();
  const pointed = await waits(steps, async (mm) => {
    const began = Date.now();
    await a.mouse.move(500 + 20 * mm, 300);
    return began;
  }, () => heldAt(b, `${point} !== value`, last).finally(async () => { last = await pointer(); }));
  t.diagnostic(`medians: a movement ${moved} ms, a remark ${said} ms, a pointer ${pointed} ms`);
  // The window says when messages were taken in; when it has drawn them and come to rest depends on what draws.
  const heard = [], drawn = [];
  for (const mm of steps) {
    await pause(600);
    const began = await move(mm);
    drawn.push(await untilShown('the movement in the window', () => w.state().entries?.[0]?.forward_mm === mm && Date.now(), 30, 5) - began);
    heard.push(w.state().review.heard_at_ms.find((at) => at >= began) - began);
  }
  const windowed = median(heard);
  t.diagnostic(`a movement in the window: taken in after ${windowed} ms, drawn and at rest after ${median(drawn)} ms`);
  for (const [what, ms] of Object.entries({ moved, said, pointed, windowed })) assert.ok(ms <= 100, `${what}: ${ms} ms`);
});

/** One random edit of a page; a remark where it is one. */
async function edit(page, who, n, below) {
  const plans = ['A', 'B'];
  switch (below(8)) {
    case 0: case 1: case 2: {
      const text = `${who} ${n}`;
      await quick(page, 'remark', { measure: 'overjet', text });
      return text;
    }
    case 3: await quick(page, 'choose_plan', { name: plans[below(2)] }); return null;
    default:
      await quick(page, 'set_movement', { segment: below(3) > 0 ? 'upper' : 'lower', forward: below(40) / 4 - 5, up: below(16) / 4 - 2 });
      return null;
  }
}

async function editPage(page, who, count, below, during) {
  const said = [];
  for (let n = 0; n < count; n += 1) {
    await during?.(n);
    const text = await edit(page, who, n, below);
    if (text) said.push(text);
    await pause(20 + below(60));
  }
  return said;
}

async function editWindow(w, count, below) {
  const keys = ['Up', 'Down', 'Left', 'Right'];
  w.hands('mousemove', '700', '250');
  for (let n = 0; n < count; n += 1) {
    w.hands('key', keys[below(4)]);
    await pause(50 + below(300));
  }
}

test(`review: ${edits} edits by two browsers and the window, with lost connections, leave one case`, async (t) => {
  const store = folderFor(t);
  let server = await startServer('--store', store);
  t.after(() => server.stop());
  const { a, b, w, context } = await threeTogether(t, server);
  await act(a, 'new_plan', { name: 'B' });
  await until(b, () => window.intercusp.state().case.plans.length === 2);
  const below = numbersFrom(7), each = Math.floor((2 * edits) / 5);
  let over = false;
  const lose = (async () => {
    while (!over) {
      await pause(6000 + below(6000));
      server.child.kill('SIGKILL');
      await server.ended;
      await pause(300 + below(2500));
      server = await startServer('--store', store, '--port', String(server.port));
    }
  })();
  const offline = async (n) => {
    if (n % 60 === 40) await context.setOffline(true);
    if (n % 60 === 50) await context.setOffline(false);
  };
  const [saidA, saidB] = await Promise.all([editPage(a, 'a', each, numbersFrom(11)), editPage(b, 'b', each, numbersFrom(23), offline),
    editWindow(w, edits - 2 * each, numbersFrom(31))]);
  await context.setOffline(false);
  over = true;
  await lose;
  const still = (s) => s.connection === 'live' && s.waiting === 0;
  for (const page of [a, b]) {
    await page.waitForFunction(() => window.intercusp.state().review.connection === 'live' && window.intercusp.state().review.waiting === 0,
      undefined, { timeout: 120000, polling: 200 });
  }
  await w.showing('nothing waits', (s) => still(s.review));
  const same = async () => {
    const [x, y, z] = [await review(a), await review(b), w.state().review];
    return x.digest === y.digest && x.digest === z.digest ? [x, y, z] : null;
  };
  const all = await untilShown('the same case', same, 60);
  const [{ entries, remarks }] = all;
  t.diagnostic(`${entries} entries, ${remarks.length} remarks, plans ${(await a.evaluate(() => window.intercusp.state().case.plans.length))}`);
  const texts = new Set(remarks.map(({ text }) => text));
  for (const text of [...saidA, ...saidB]) assert.ok(texts.has(text), `lost: ${text}`);
  for (const { entries: held } of all) assert.equal(held, entries);
});

// What takes longer than a frame is done beside the screen: it says what it does, can be stopped, and cannot take the case along.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { middleOf } from './hands.mjs';
import { act, contact, dropFiles, freshContext, measures, openPage, settled, state } from './page.mjs';
import { sharedServer } from './served.mjs';

/** A flat sheet of 2 n^2 triangles as binary STL, 60 mm wide. */
function sheet(n) {
  const bytes = Buffer.alloc(84 + 50 * 2 * n * n);
  bytes.writeUInt32LE(2 * n * n, 80);
  let at = 84;
  const corner = (i, k) => [(60 * i) / n, (60 * k) / n, 5 * Math.sin(i / 9) * Math.cos(k / 7)];
  for (let i = 0; i < n; i += 1) {
    for (let k = 0; k < n; k += 1) {
      const [a, b, c, d] = [corner(i, k), corner(i + 1, k), corner(i + 1, k + 1), corner(i, k + 1)];
      for (const triangle of [[a, b, c], [a, c, d]]) {
        triangle.flat().forEach((value, j) => bytes.writeFloatLE(value, at + 12 + 4 * j));
        at += 50;
      }
    }
  }
  return bytes;
}

/** A page whose workers a test can reach. */
async function pageWithWorkers() {
  const context = await freshContext();
  await context.addInitScript(() => {
    window.workers = [];
    window.Worker = class extends Worker {
      constructor(...args) {
        super(...args);
        window.workers.push(this);
      }
      // A slow disk: files arrive late while window.slow is set.
      postMessage(message, transfer) {
        if (window.slow && message.file) setTimeout(() => super.postMessage(message, transfer), 60000);
        else super.postMessage(message, transfer);
      }
    };
  });
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  return { context, page };
}

const waitForWords = (page, words) =>
  page.waitForFunction((wanted) => window.intercusp.state().messages.some((m) => `${m.what} ${m.meaning}`.includes(wanted)), words);

/** How many parts of the first sample a worker reported before its answer. */
async function partsOfFirstSample(visitedBefore) {
  const context = await freshContext();
  await context.addInitScript((before) => {
    if (before) localStorage.setItem('intercusp.kept', '1');
    window.heard = [];
    window.Worker = class extends Worker {
      constructor(...args) {
        super(...args);
        this.addEventListener('message', ({ data }) => window.heard.push(data.answer ? 'answer' : 'part'));
      }
    };
  }, visitedBefore);
  const page = await openPage(context, (await sharedServer()).address);
  const heard = await page.evaluate(() => window.heard);
  await context.close();
  return heard.indexOf('answer');
}

test('beside: the sample of a first visit is made once, and the page that asks later is given it', async () => {
  const made = await partsOfFirstSample(true);
  assert.ok(made > 0, `${made} parts`);
  // Made a second time when the page asked, it would have reported twice as many.
  assert.equal(await partsOfFirstSample(false), made);
});

test('beside: a scan is read while the page goes on, and can be stopped', async () => {
  const { context, page } = await pageWithWorkers();
  const before = [await measures(page), (await state(page)).case];
  await page.evaluate(() => { window.slow = true; });
  await dropFiles(page, [{ name: 'upper.stl', bytes: sheet(100) }]);
  await page.waitForFunction(() => window.intercusp.state().doing?.words === 'Reading upper.stl');
  // The page answers meanwhile.
  const turned = await page.evaluate(() => {
    window.intercusp.act('view', { name: 'right' });
    return [window.intercusp.state().doing?.words, window.intercusp.measures().measures.length];
  });
  assert.equal(turned[0], 'Reading upper.stl');
  assert.ok(turned[1] > 10);
  await page.waitForFunction(() => window.intercusp.state().widgets['errand.stop']);
  // By the mouse alone: the usual click waits until nothing is being done.
  const stop = await middleOf(page, 'errand.stop');
  await page.mouse.move(stop.x, stop.y);
  await page.waitForTimeout(400);
  await page.mouse.click(stop.x, stop.y);
  await waitForWords(page, 'Stopped: nothing was changed');
  await settled(page);
  assert.deepEqual([await measures(page), (await state(page)).case], before);
  // A new worker has taken over.
  assert.equal(await page.evaluate(() => window.workers.length), 2);
  await act(page, 'set_movement', { segment: 'upper', up: -0.8 });
  const worst = (await contact(page)).pairs[0].regions[0].deepest_mm;
  assert.ok(Math.abs((await state(page)).clearance[0].depth_mm - worst) < 1e-9);
  await context.close();
});

test('beside: a worker that runs out of memory leaves the case whole and is said', async () => {
  const { context, page } = await pageWithWorkers();
  await act(page, 'set_movement', { segment: 'upper', forward: 3 });
  const before = [await measures(page), (await state(page)).case];
  await page.evaluate(() => { window.slow = true; });
  await dropFiles(page, [{ name: 'upper.stl', bytes: sheet(100) }]);
  await page.waitForFunction(() => window.intercusp.state().doing);
  await page.evaluate(() => window.workers.at(-1).onmessage({ data: { stopped: 'out of memory' } }));
  await waitForWords(page, 'not enough memory');
  const { messages } = await state(page);
  const said = messages.find((m) => m.what.includes('not enough memory'));
  assert.match(said.what, /upper\.stl/);
  assert.match(said.meaning, /open case stays as it is/);
  assert.match(said.remedy, /fewer triangles/);
  await settled(page);
  assert.deepEqual([await measures(page), (await state(page)).case], before);
  await context.close();
});

test('beside: a file larger than a page can hold is refused before it is read', async () => {
  const { context, page } = await pageWithWorkers();
  const before = (await state(page)).case;
  await page.evaluate(() => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([new Uint8Array(401e6)], 'upper.stl'));
    document.getElementById('view').dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: transfer }));
  });
  await page.waitForFunction(() => !document.getElementById('notice').hidden);
  assert.match(await page.textContent('#notice p'), /upper\.stl: The file has 401 MB; .* up to 400 MB\. .*fewer triangles.*stays as it is/);
  assert.deepEqual((await state(page)).case, before);
  await context.close();
});

async function worksAlone(context) {
  const page = await openPage(context, (await sharedServer()).address);
  await settled(page);
  assert.ok((await state(page)).ready);
  await act(page, 'set_movement', { segment: 'upper', up: -0.8 });
  const worst = (await contact(page)).pairs[0].regions[0].deepest_mm;
  assert.ok(Math.abs((await state(page)).clearance[0].depth_mm - worst) < 1e-9);
  await dropFiles(page, [{ name: 'upper.stl', bytes: sheet(60) }]);
  await page.waitForFunction(() => window.intercusp.state().case.bodies[0].triangles === 7200);
  await context.close();
}

test('beside: without workers the program does the same by itself', async () => {
  const context = await freshContext();
  await context.addInitScript(() => { window.Worker = class { constructor() { throw new Error('no workers here'); } }; });
  await worksAlone(context);
});

test('beside: with a worker that does not start the program does the same by itself', async () => {
  const context = await freshContext({ serviceWorkers: 'block' });
  await context.route('**/bench.js', (route) => route.abort());
  await worksAlone(context);
});

test('beside: the page asks before it is left with a change that is not kept', async () => {
  const { context, page } = await pageWithWorkers();
  await page.mouse.click(680, 400);  // a browser asks only where something was touched
  await settled(page);
  const asks = () => page.evaluate(() => !window.dispatchEvent(new Event('beforeunload', { cancelable: true })));
  assert.equal(await asks(), false);
  const askedAtOnce = await page.evaluate(() => {
    window.intercusp.act('set_movement', { segment: 'upper', forward: 2 });
    return !window.dispatchEvent(new Event('beforeunload', { cancelable: true }));
  });
  assert.equal(askedAtOnce, true);
  await settled(page);
  assert.equal(await asks(), false);
  await context.close();
});

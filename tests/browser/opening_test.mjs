// Opening the program: at once, small, from one place, with a picture.
import assert from 'node:assert/strict';
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { colours } from './picture.mjs';
import { freshContext, openPage, settled, site, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const mostBytes = 1.5e6, mostWithGzip = 1.6e6;  // old browsers and proxies get the larger one

test('opening: a sample is on screen, nothing is asked from elsewhere, nothing goes wrong', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ drawn: true });
  const page = await openPage(context, address);
  await settled(page);
  const opened = await state(page);
  assert.equal(opened.ready, true, 'a case is open');
  assert.ok(opened.case.bodies.length >= 2);
  const shown = await colours(page);
  assert.ok(shown.count > 500, `${shown.count} colours`);
  assert.ok(shown.commonest < 0.9, 'the page is not blank');
  assert.equal(await page.isVisible('#opening'), false);
  assert.equal(await page.isVisible('#notice'), false);
  assert.deepEqual(context.errors, []);
  const elsewhere = context.requests.filter((url) => !url.startsWith(address) && !url.startsWith('blob:'));
  assert.deepEqual(elsewhere, []);
  await context.close();
});

test('opening: the download is within its budget, as served', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ serviceWorkers: 'block' });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Network.enable');
  let received = 0;
  session.on('Network.loadingFinished', (event) => { received += event.encodedDataLength; });
  await page.goto(address);
  await page.waitForFunction(() => window.intercusp?.state);
  await page.waitForLoadState('networkidle');
  console.log(`# download ${received} bytes`);
  assert.ok(received > 100000, 'the count works');
  assert.ok(received <= mostBytes, `${received} bytes`);
  const folder = join(site, 'assets', readdirSync(join(site, 'assets'))[0]);
  const gzip = readdirSync(folder).filter((name) => name.endsWith('.gz')).reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
  assert.ok(gzip <= mostWithGzip, `${gzip} bytes with gzip only`);
  await context.close();
});

test('opening: without WebGL 2 the page says what is missing', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  await context.addInitScript(() => {
    const original = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function getContext(kind, ...rest) {
      return kind === 'webgl2' ? null : original.call(this, kind, ...rest);
    };
  });
  const page = await context.newPage();
  await page.goto(address);
  await page.waitForFunction(() => /WebGL 2/.test(document.getElementById('opening').textContent));
  assert.equal(await page.isVisible('#opening'), true);
  await context.close();
});

test('opening: without SIMD in WebAssembly the page says what is missing', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  await context.addInitScript(() => { WebAssembly.validate = () => false; });
  const page = await context.newPage();
  await page.goto(address);
  await page.waitForFunction(() => /SIMD/.test(document.getElementById('opening').textContent));
  assert.equal(await page.isVisible('#opening'), true);
  await context.close();
});

test('opening: without JavaScript the page says so', async () => {
  const { address } = await sharedServer();
  const context = await freshContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(address);
  assert.match(await page.textContent('noscript'), /JavaScript/);
  await context.close();
});

// After one visit the program works without a network; a newer build comes in one piece, when the person says so.
import assert from 'node:assert/strict';
import { cpSync, mkdtempSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { spawn } from 'node:child_process';
import { test } from 'node:test';
import { freshContext, openPage, program, ready, settled, site, state } from './page.mjs';
import { sharedServer } from './served.mjs';

const controlled = (page) => page.waitForFunction(() => navigator.serviceWorker.ready.then((r) => r.active?.state === 'activated'));

test('offline: after the first visit the page opens without a network', async () => {
  const { address } = await sharedServer();
  const context = await freshContext();
  const page = await openPage(context, address);
  await controlled(page);
  await context.setOffline(true);
  await page.reload();
  await ready(page);
  await settled(page);
  assert.equal((await state(page)).ready, true);
  await context.setOffline(false);
  await context.close();
});

/** A copy of the site as another build: its digest is changed everywhere. */
function otherBuild() {
  const folder = mkdtempSync(join(tmpdir(), 'intercusp-site-'));
  cpSync(site, folder, { recursive: true });
  const digest = readdirSync(join(folder, 'assets'))[0];
  const other = digest.split('').reverse().join('');
  renameSync(join(folder, 'assets', digest), join(folder, 'assets', other));
  for (const name of ['index.html', 'sw.js', 'manifest.webmanifest']) {
    const path = join(folder, name);
    writeFileSync(path, readFileSync(path, 'utf8').replaceAll(digest, other));
    rmSync(`${path}.br`);
    rmSync(`${path}.gz`);
  }
  return { folder, digest, other };
}

function serve(folder, port) {
  const child = spawn(program, ['serve', '--port', String(port), '--site', folder], { stdio: ['ignore', 'pipe', 'inherit'] });
  return new Promise((resolve, reject) => {
    child.stdout.on('data', (said) => {
      const found = /http:\/\/\S+/.exec(String(said));
      if (found) resolve({ child, address: found[0], stop: () => new Promise((done) => { child.on('exit', done); child.kill('SIGTERM'); }) });
    });
    child.on('exit', (code) => reject(new Error(`serve ended with ${code}`)));
  });
}

test('offline: a newer build is offered and then used, whole, and the older one is gone', async () => {
  const { folder, digest, other } = otherBuild();
  const first = await serve(site, 0);
  const port = Number(new URL(first.address).port);
  const context = await freshContext();
  const page = await openPage(context, first.address);
  await controlled(page);
  await first.stop();
  const second = await serve(folder, port);
  try {
    await page.reload();
    await ready(page);
    await page.waitForSelector('#notice:not([hidden])');
    assert.match(await page.textContent('#notice p'), /newer version/);
    const before = await page.evaluate(() => document.querySelector('script[type=module]').src);
    assert.ok(before.includes(digest), 'until then the older build stays whole');
    await Promise.all([page.waitForNavigation(), page.click('#notice button')]);
    await ready(page);
    const after = await page.evaluate(() => document.querySelector('script[type=module]').src);
    assert.ok(after.includes(other));
    await page.waitForFunction((kept) => caches.keys().then((names) => names.length === 1 && names[0].includes(kept)), other);
  } finally {
    await context.close();
    await second.stop();
    rmSync(folder, { recursive: true });
  }
});

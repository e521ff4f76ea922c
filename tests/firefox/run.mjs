// Runs the main flows in Firefox, in one process, so that they share one Firefox and one server:
//   node tests/firefox/run.mjs [PART_OF_FILE_NAME ...]
// Needs firefox-esr and Xvfb (Debian packages firefox-esr, xvfb) and `npm ci` in this folder and in tests/browser. INTERCUSP_PROGRAM
// and INTERCUSP_SITE name another program and site than those of the build folder, FIREFOX another Firefox.
import assert from 'node:assert/strict';
import { readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { after, afterEach, beforeEach } from 'node:test';
import { closeWindows, stopFirefox } from './firefox.mjs';
import { stopSharedServer } from '../browser/served.mjs';

const folder = dirname(fileURLToPath(import.meta.url));
const wanted = process.argv.slice(2);
const files = readdirSync(folder).filter((name) => name.endsWith('_test.mjs')).sort();
const chosen = files.filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)));
if (chosen.length === 0) throw new Error(`no test file matches ${wanted.join(' ')}`);
for (const name of chosen) await import(join(folder, name));

// A test that waits for what never comes ends the run, so that it is seen.
const longest = 300;  // s
let waiting;
beforeEach(() => {
  waiting = setTimeout(() => { console.error(`a test has not ended after ${longest} s`); process.exit(1); }, 1000 * longest);
});
afterEach(async () => {
  clearTimeout(waiting);
  assert.deepEqual(await closeWindows(), [], 'errors in the console');
});
after(async () => {
  await stopFirefox();
  await stopSharedServer();
});

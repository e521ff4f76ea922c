// Runs the browser tests in one process, so that they share one browser and one server:
//   node tests/browser/run.mjs [PART_OF_FILE_NAME ...]
//   node tests/browser/run.mjs --speed [PART_OF_FILE_NAME ...]     those that hold times, on a machine that does nothing else
//   node tests/browser/run.mjs --long [PART_OF_FILE_NAME ...]      those that take minutes
import { readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { after, afterEach, beforeEach } from 'node:test';
import { closeContexts, drawWhereAsked, stopBrowser } from './page.mjs';
import { stopSharedServer } from './served.mjs';

const folder = dirname(fileURLToPath(import.meta.url));
const kinds = ['--speed', '--long'].filter((word) => process.argv.includes(word));
const wanted = process.argv.slice(2).filter((word) => !kinds.includes(word));
const ending = kinds.length > 0 ? `_${kinds[0].slice(2)}.mjs` : '_test.mjs';
const files = readdirSync(folder).filter((name) => name.endsWith(ending)).sort();
const chosen = files.filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)));
if (chosen.length === 0) throw new Error(`no test file matches ${wanted.join(' ')}`);
if (kinds.length === 0) drawWhereAsked();
for (const name of chosen) {
  try {
    await import(join(folder, name));
  } catch (error) {  // the tests begun before it would wait for it
    console.error(`${name} cannot be run:`, error);
    process.exit(1);
  }
}

// A test that waits for what never comes ends the run, so that it is seen.
const longest = kinds.includes('--long') ? 3600e3 : 300e3;  // ms
let waiting;
beforeEach(() => { waiting = setTimeout(() => { console.error(`a test has not ended after ${longest / 1000} s`); process.exit(1); }, longest); });
afterEach(() => { clearTimeout(waiting); });
afterEach(closeContexts);
after(async () => {
  await stopBrowser();
  await stopSharedServer();
});

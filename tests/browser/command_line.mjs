// The command line of the same build, as the other witness.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { program } from './page.mjs';

// The key that signs results of practice is the tests' own.
const settings = mkdtempSync(join(tmpdir(), 'intercusp-settings-'));
process.on('exit', () => rmSync(settings, { recursive: true, force: true }));

/** Runs `intercusp` and gives what it printed; `measure` and `contact` may end with 1 when a limit is passed. */
export function run(...args) {
  return execFileSync(program, args, { encoding: 'utf8', maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, XDG_CONFIG_HOME: settings } });
}

export const reportOf = (...args) => JSON.parse(run(...args, '--format', 'json'));

/** A folder that is gone after the test. */
export function folderFor(t) {
  const folder = mkdtempSync(join(tmpdir(), 'intercusp-test-'));
  t.after(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A sample as the files that a scanner would give: two STL and the landmarks. */
export function scannedSample(folder, name, triangles = 40000) {
  const glb = join(folder, `${name}.glb`);
  run('sample', name, '--seed', '7', '--triangles', String(triangles), '-o', glb);
  const files = { upper: join(folder, 'upper.stl'), lower: join(folder, 'lower.stl'), landmarks: join(folder, 'landmarks.json') };
  run('export', glb, '--body', 'upper_arch', '-o', files.upper);
  run('export', glb, '--body', 'lower_arch', '-o', files.lower);
  run('export', glb, '--landmarks', '-o', files.landmarks);
  return { glb, ...files };
}

export const dropped = (name, path) => ({ name, bytes: readFileSync(path) });

export function written(folder, name, bytes) {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
}

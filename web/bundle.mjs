// Puts the page and the program together into one folder that any static server can serve:
//   node bundle.mjs PAGE_FOLDER PROGRAM_FOLDER SITE_FOLDER
// The page's modules become two scripts, for the page and for its worker, and what they share: each file more is a request
// that the opening waits for.
// Everything but the entry points (index.html, sw.js, the manifest) lies under assets/DIGEST/, where DIGEST covers all the
// files, so that these may be cached for ever. Files worth it get .br and .gz beside them.
import { createHash } from 'node:crypto';
import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants } from 'node:zlib';

const [pageFolder, programFolder, site] = process.argv.slice(2);
const atRoot = ['index.html', 'sw.js', 'manifest.webmanifest'];

const isModule = (name) => name.endsWith('.js') && name !== 'sw.js';

/** The scripts that the modules of the page and the program come down to. */
function scripts() {
  const staged = `${site}.modules`;
  rmSync(staged, { recursive: true, force: true });
  mkdirSync(staged);
  for (const name of readdirSync(pageFolder).filter(isModule)) copyFileSync(join(pageFolder, name), join(staged, name));
  copyFileSync(join(programFolder, 'intercusp.js'), join(staged, 'intercusp.js'));
  const made = join(staged, 'made');
  execFileSync('esbuild', ['main.js', 'bench.js', '--bundle', '--splitting', '--format=esm', '--target=es2022', '--minify',
    '--log-level=warning', `--outdir=${made}`], { cwd: staged, stdio: ['ignore', 'inherit', 'inherit'] });
  return readdirSync(made).sort().map((name) => [name, readFileSync(join(made, name))]);
}

function gather() {
  const files = new Map(scripts());
  for (const name of readdirSync(pageFolder).sort()) if (!isModule(name)) files.set(name, readFileSync(join(pageFolder, name)));
  files.set('intercusp.wasm', readFileSync(join(programFolder, 'intercusp.wasm')));
  return files;
}

function digestOf(files) {
  const hash = createHash('sha256');
  for (const [name, bytes] of files) hash.update(`${name} ${bytes.length}\n`).update(bytes);
  return hash.digest('hex').slice(0, 16);
}

function place(files, digest) {
  const placed = new Map();
  const list = ['./', ...[...files.keys()].map((name) => (atRoot.includes(name) ? name : `assets/${digest}/${name}`))]
    .filter((path) => path !== 'sw.js' && path !== 'index.html');
  // Named in the page, what the scripts share comes in the same round trip.
  const preloads = [...files.keys()].filter((name) => isModule(name) && name !== 'main.js' && name !== 'bench.js')
    .map((name) => `<link rel="modulepreload" href="assets/${digest}/${name}">`).join('\n');
  for (const [name, bytes] of files) {
    if (!atRoot.includes(name)) {
      placed.set(`assets/${digest}/${name}`, bytes);
      continue;
    }
    const text = bytes.toString('utf8').replaceAll('@ASSETS@', `assets/${digest}`).replaceAll('@DIGEST@', digest)
      .replaceAll('@FILES@', JSON.stringify(list)).replaceAll('@PRELOADS@', preloads);
    placed.set(name, Buffer.from(text));
  }
  return placed;
}

function write(path, bytes) {
  writeFileSync(path, bytes);
  if (bytes.length < 256 || path.endsWith('.png')) return;
  const params = { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length };
  writeFileSync(`${path}.br`, brotliCompressSync(bytes, { params }));
  // A twentieth smaller than the level 9 that everybody knows; browsers and proxies without brotli get it.
  writeFileSync(`${path}.gz`, execFileSync('libdeflate-gzip', ['-12', '-c', path], { maxBuffer: 1 << 28 }));
}

const files = gather();
const digest = digestOf(files);
const mark = join(site, 'assets', digest);
if (!existsSync(join(site, 'index.html')) || !existsSync(mark)) {
  rmSync(site, { recursive: true, force: true });
  mkdirSync(mark, { recursive: true });
  // index.html comes last: with it the folder is whole.
  const placed = [...place(files, digest)].sort(([a], [b]) => (a === 'index.html') - (b === 'index.html'));
  for (const [path, bytes] of placed) write(join(site, path), bytes);
}

// Starts the program in the page and ties the parts of the bridge together.
import createProgram from './intercusp.js';
import { beginContext, watchCanvas } from './canvas.js';
import { watchClipboard } from './clipboard.js';
import { Errands } from './errands.js';
import { watchFiles } from './files.js';
import { Frames } from './frames.js';
import { makeHost } from './host.js';
import { watchKeys } from './keys.js';
import { watchLink, takeLink } from './link.js';
import { offerMeasuresTable } from './measures_table.js';
import { cannotRun, closeOpeningScreen, notice } from './notice.js';
import { keepOffline } from './offline.js';
import { offerInterface, offerMessages } from './page_interface.js';
import { watchPointers } from './pointers.js';
import { Practice } from './practice.js';
import { Program } from './program.js';
import { Review, reviewToContinue } from './review.js';
import { isFirstVisit, restoreWork, watchLeaving } from './work.js';

const canvas = document.getElementById('view');

function watchPreferences(program, frames) {
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const tell = () => {
    program.call('ic_preferences', dark.matches ? 1 : 0, still.matches ? 1 : 0);
    frames.ask();
  };
  dark.addEventListener('change', tell);
  still.addEventListener('change', tell);
  tell();
}

async function openFirst(program) {
  if (await takeLink(program)) return;
  await restoreWork(program);
  const shared = reviewToContinue();
  if (shared) program.callWith('ic_act', ['review_join', JSON.stringify(shared)]);
}

const longestHandOver = 1000;  // ms
const wait = (ms) => new Promise((resolve) => { setTimeout(resolve, ms); });

/** Whether WebAssembly computes four numbers at once here: a module of one function that does so passes. */
const hasLanes = () => WebAssembly.validate(new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0,
  10, 10, 1, 8, 0, 65, 0, 253, 15, 253, 98, 11]));

/** Both the page and its worker run what was compiled once. */
const instantiate = (compiled) => (imports, done) => {
  compiled.then((module) => WebAssembly.instantiate(module, imports).then((instance) => done(instance)))
    .catch((error) => cannotRun(`The program could not be loaded (${error.message}). Reload the page.`));
  return {};
};

async function start() {
  if (!hasLanes()) {
    cannotRun('This browser has no SIMD in WebAssembly, which the distances are computed with. Try a current browser.');
    throw new Error('no SIMD in WebAssembly');
  }
  const compiled = WebAssembly.compileStreaming(fetch(new URL('./intercusp.wasm', import.meta.url)));
  const firstVisit = isFirstVisit();
  const errands = new Errands(compiled, firstVisit);
  // A worker cannot start while its page is busy, and the first picture waits for what it makes.
  if (firstVisit) await Promise.race([errands.begun, wait(longestHandOver)]);
  // The graphics process starts while the program is still on its way; the program then finds this context.
  beginContext(canvas);
  const review = new Review();
  review.errands = errands;
  const practice = new Practice();
  const host = makeHost(errands, review, practice);
  // Where the page does errands itself, nothing can be drawn between two steps of one: progress has nobody to tell.
  const module = await createProgram({ host, progress: () => {}, instantiateWasm: instantiate(compiled),
    onAbort: (why) => programStopped(why) });
  const program = new Program(module);
  host.program = errands.program = review.program = practice.program = program;
  if (!program.call('ic_start')) {
    cannotRun('This browser gives the page no WebGL 2, which the 3D view needs. Try a current browser, or allow hardware ' +
      'acceleration in its settings, and reload.');
    throw new Error('no WebGL 2');
  }
  const frames = new Frames(program, canvas);
  host.frames = errands.frames = review.frames = practice.frames = frames;
  frames.stop();  // nothing is drawn before it is known what to open
  watchPreferences(program, frames);
  watchCanvas(canvas, program, frames);
  watchPointers(canvas, program, frames);
  watchKeys(canvas, program, frames);
  watchClipboard(program, frames, host);
  watchFiles(program, frames, errands);
  await openFirst(program);
  watchLink(program, frames);
  offerMeasuresTable(program);
  watchLeaving(program);
  frames.resume();
  frames.draw();
  closeOpeningScreen();
  canvas.focus({ preventScroll: true });
  keepOffline();
  await frames.firstCase();
  return offerInterface(program, frames, host);
}

function programStopped(why) {
  notice('The program stopped because of an error in it. Your work was kept in this browser up to the last change; reload ' +
    'the page to go on.', [['Reload', () => location.reload()]]);
  console.error('intercusp stopped:', why);
}

offerMessages(start());

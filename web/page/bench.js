// A second instance of the program in a worker: does what takes longer than a frame, draws nothing (errands.js).
import createProgram from './intercusp.js';
import { Program } from './program.js';

let program = null;
let started;
const ready = new Promise((resolve) => { started = resolve; });

function begin(module) {
  const instantiateWasm = (imports, done) => {
    WebAssembly.instantiate(module, imports).then((instance) => done(instance));
    return {};
  };
  const progress = (fraction) => postMessage({ fraction });
  createProgram({ host: null, progress, instantiateWasm, onAbort: (why) => postMessage({ stopped: String(why) }) })
    .then((made) => {
      program = new Program(made);
      started();
    });
}

let foreseen = null;  // an errand done before the page asked for it, and its answer

/** Does the errand of a first visit while the page is still busy with its start. */
function foresee() {
  const bytes = program.takeBytes('ic_bench_first_errand');
  foreseen = { bytes, answer: program.doErrand(bytes) };
}

const same = (a, b) => a.length === b.length && a.every((byte, i) => byte === b[i]);

function run(bytes, file) {
  let answer = null;
  if (foreseen) {
    if (same(foreseen.bytes, bytes)) answer = foreseen.answer;
    else program.call('ic_bench_reset');
    foreseen = null;
  }
  answer ??= program.doErrand(bytes, file);
  postMessage({ answer }, [answer.buffer]);
}

addEventListener('message', async ({ data }) => {
  try {
    if (data.module) {
      postMessage({ begun: true });
      begin(data.module);
      await ready;
      if (data.firstVisit) foresee();
      return;
    }
    await ready;
    if (data.forget) program.callWith('ic_bench_forget', [data.forget], false);
    else run(data.bytes, data.file);
  } catch (error) {
    postMessage({ stopped: String(error?.message ?? error) });
  }
});

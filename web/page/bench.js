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

function run(bytes, file) {
  const answer = program.doErrand(bytes, file);
  postMessage({ answer }, [answer.buffer]);
}

addEventListener('message', async ({ data }) => {
  if (data.module) {
    begin(data.module);
    return;
  }
  await ready;
  try {
    if (data.forget) program.callWith('ic_bench_forget', [data.forget], false);
    else run(data.bytes, data.file);
  } catch (error) {
    postMessage({ stopped: String(error?.message ?? error) });
  }
});

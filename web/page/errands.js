// The worker beside the page, which does what takes longer than a frame (bench.js). One errand at a time.

/** Starts the worker as early as can be; it gets the compiled program when that is there. */
export class Errands {
  constructor(compiled) {
    this.compiled = compiled;
    this.program = null;
    this.frames = null;
    this.files = new Map();
    this.lastFile = 0;
    this.worker = null;
    this.hire();
  }

  get works() {
    return this.worker !== null;
  }

  hire() {
    try {
      this.worker = new Worker(new URL('./bench.js', import.meta.url), { type: 'module' });
    } catch {
      this.worker = null;  // the program then does errands itself
      return;
    }
    const worker = this.worker;
    worker.onmessage = ({ data }) => { if (worker === this.worker) this.hear(data); };
    worker.onerror = (event) => { if (worker === this.worker) this.replace(event.message ?? 'it did not start'); };
    this.compiled.then((module) => worker.postMessage({ module }), () => {});
  }

  hear({ answer, fraction, stopped }) {
    if (answer) this.program.callWith('ic_errand_answer', [answer], false);
    else if (stopped !== undefined) this.replace(stopped);
    else this.program.call('ic_errand_progress', fraction);
    this.frames.ask();
  }

  /** Keeps a file until an errand asks for it; gives its number. */
  hold(file) {
    this.lastFile += 1;
    this.files.set(this.lastFile, file);
    return this.lastFile;
  }

  start(bytes, fileNumber) {
    const file = this.files.get(fileNumber);
    this.files.delete(fileNumber);
    this.frames?.ask();
    if (!file) {
      this.worker.postMessage({ bytes }, [bytes.buffer]);
      return;
    }
    const worker = this.worker;
    file.arrayBuffer().then((buffer) => {
      if (worker === this.worker) worker.postMessage({ bytes, file: buffer }, [bytes.buffer, buffer]);
    }, (error) => this.fail(`The browser could not read the file (${error.message})`));
  }

  forget(numbers) {
    this.worker.postMessage({ forget: numbers }, [numbers.buffer]);
  }

  /** The errand under way is not wanted any more. */
  cancel() {
    this.worker.terminate();
    this.hire();
  }

  /** The worker stopped by itself, for want of memory in all likelihood: the case on screen is untouched. */
  replace(why) {
    console.warn('the worker stopped:', why);
    this.worker.terminate();
    this.hire();
    this.fail('There was not enough memory in this browser to do this');
  }

  fail(words) {
    this.program.callWith('ic_errand_stopped', [words], false);
    this.frames.ask();
  }
}

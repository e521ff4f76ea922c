// The worker beside the page, which does what takes longer than a frame (bench.js). One errand at a time. Where no worker can
// be had, the program on the page does the errand itself.

/** Starts the worker as early as can be; it gets the compiled program when that is there. */
export class Errands {
  constructor(compiled, firstVisit) {
    this.compiled = compiled;
    this.firstVisit = firstVisit;  // then the worker makes the sample that the page will ask for, before it asks
    this.program = null;
    this.frames = null;
    this.files = new Map();
    this.lastFile = 0;
    this.worker = null;
    this.answered = false;  // some worker did: the next one will start too
    this.asked = null;      // the errand under way, until it is answered
    this.begun = new Promise((resolve) => { this.begins = resolve; });  // the worker has the program, or there is none
    this.hire();
  }

  hire() {
    try {
      this.worker = new Worker(new URL('./bench.js', import.meta.url), { type: 'module' });
    } catch {
      this.worker = null;
      this.begins();
      return;
    }
    const worker = this.worker;
    worker.onmessage = ({ data }) => { if (worker === this.worker) this.hear(data); };
    worker.onerror = (event) => { if (worker === this.worker) this.stopped(event.message ?? 'it did not start'); };
    const firstVisit = this.firstVisit;
    this.firstVisit = false;
    this.compiled.then((module) => worker.postMessage({ module, firstVisit }), () => {});
  }

  hear({ begun, answer, fraction, stopped }) {
    if (begun) {
      this.begins();
      return;
    }
    if (stopped !== undefined) {
      this.stopped(stopped);
      return;
    }
    if (answer) this.answered = true;
    if (answer) this.deliver(answer);
    else if (this.asked) this.program.call('ic_errand_progress', fraction);  // shown at the next look (Frames.askLater)
  }

  deliver(answer) {
    this.asked = null;
    this.program.callWith('ic_errand_answer', [answer], false);
    this.frames.ask();
  }

  /** Keeps a file until an errand asks for it; gives its number. */
  hold(file) {
    this.lastFile += 1;
    this.files.set(this.lastFile, file);
    return this.lastFile;
  }

  async start(bytes, fileNumber) {
    const asked = { bytes, file: null };
    this.asked = asked;
    this.frames?.ask();
    const held = this.files.get(fileNumber);
    this.files.delete(fileNumber);
    try {
      asked.file = held ? await held.arrayBuffer() : null;
    } catch (error) {
      if (this.asked !== asked) return;
      if (this.worker) {
        this.worker.terminate();
        this.hire();
      }
      this.fail(`The browser could not read the file (${error.message})`);
      return;
    }
    if (this.asked === asked) this.send();
  }

  /** To the worker; the bytes of the errand stay here until some worker has shown that it works. */
  send() {
    const { bytes, file } = this.asked;
    if (!this.worker) {
      setTimeout(() => this.doHere(), 0);
      return;
    }
    const given = this.answered ? [bytes.buffer, file] : [];
    this.worker.postMessage({ bytes, file }, given.filter((buffer) => buffer));
  }

  doHere() {
    if (!this.asked) return;
    try {
      this.deliver(this.program.doErrand(this.asked.bytes, this.asked.file));
    } catch (error) {
      this.fail(error.message);
    }
  }

  forget(numbers) {
    if (this.worker) this.worker.postMessage({ forget: numbers }, [numbers.buffer]);
    else this.program.callWith('ic_bench_forget', [numbers], false);
  }

  /** The errand under way is not wanted any more. */
  cancel() {
    this.asked = null;
    if (!this.worker) {
      this.program.call('ic_bench_reset');
      return;
    }
    this.worker.terminate();
    this.hire();
  }

  /** The worker stopped by itself: for want of memory in all likelihood, or since this browser starts none. */
  stopped(why) {
    console.warn('the worker stopped:', why);
    this.begins();
    this.worker.terminate();
    if (this.answered) {
      this.hire();
      this.fail('There was not enough memory in this browser to do this');
      return;
    }
    this.worker = null;
    if (this.asked) this.send();
  }

  fail(words) {
    this.asked = null;
    if (!this.worker) this.program.call('ic_bench_reset');
    this.program.callWith('ic_errand_stopped', [words], false);
    this.frames.ask();
  }
}

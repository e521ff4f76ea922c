// Calls into the program: texts as UTF-8, bytes straight into its memory, answers as JSON.
const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class Program {
  constructor(module) {
    this.module = module;
  }

  /** Calls an exported function with numbers. */
  call(name, ...numbers) {
    return this.module[`_${name}`](...numbers);
  }

  /** Memory for `size` bytes, or an Error that a person can read. */
  allocate(size) {
    const at = this.call('ic_alloc', Math.max(1, size));
    if (!at) throw new Error(`There is not enough memory in this page for ${(size / 1e6).toFixed(0)} MB more. Close other ` +
      'cases or use the desktop program.');
    return at;
  }

  place(bytes) {
    const at = this.allocate(bytes.length);
    this.module.HEAPU8.set(bytes, at);
    return at;
  }

  /** A zero-ended text in the program's memory; whoever receives it frees it. */
  placeText(text) {
    return this.place(encoder.encode(`${text}\0`));
  }

  readText(at) {
    const heap = this.module.HEAPU8;
    return decoder.decode(heap.subarray(at, heap.indexOf(0, at)));
  }

  /** Calls with texts and byte arrays, each given as address and length; the answer is read as JSON when `reads`. */
  callWith(name, parts, reads = true) {
    const placed = [];
    try {
      for (const part of parts) {
        const bytes = typeof part === 'string' ? encoder.encode(part) : part;
        placed.push(this.place(bytes), bytes.length);
      }
      const answer = this.call(name, ...placed);
      return reads ? JSON.parse(this.readText(answer)) : answer;
    } finally {
      for (let i = 0; i < placed.length; i += 2) this.call('ic_free', placed[i]);
    }
  }

  read(name) {
    return JSON.parse(this.readText(this.call(name)));
  }

  /** Opens bytes that lie in the program's memory already, and frees them. */
  openPlaced(name, at, size) {
    const text = encoder.encode(name);
    const textAt = this.place(text);
    const answer = JSON.parse(this.readText(this.call('ic_open', textAt, text.length, at, size)));
    this.call('ic_free', textAt);
    this.call('ic_free', at);
    return answer;
  }

  /** Does an errand (bench.cpp) and gives its answer; `file` is what travels beside it. */
  doErrand(bytes, file) {
    const placed = [bytes, new Uint8Array(file ?? 0)].map((part) => [this.place(part), part.length]);
    const answer = this.takeBytes('ic_bench_run', ...placed.flat());
    for (const [place] of placed) this.call('ic_free', place);
    return answer;
  }

  /** What a function of bench.cpp leaves in place, copied out. */
  takeBytes(name, ...numbers) {
    const at = this.call(name, ...numbers);
    return this.module.HEAPU8.slice(at, at + this.call('ic_bench_size'));
  }

  save() {
    const at = this.call('ic_save');
    return this.module.HEAPU8.slice(at, at + this.call('ic_saved_size'));
  }
}

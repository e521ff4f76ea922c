// window.intercusp: the program as a script sees it (docs/page-interface.md).
import { isWriting, keptAt } from './work.js';

function valueOf(answer) {
  if (!answer.ok) throw new Error(answer.error);
  return answer.value ?? null;
}

export function offerInterface(program, frames, host) {
  const usableAfter = performance.now();
  const here = {
    state: () => program.read('ic_state'),
    measures: () => program.read('ic_measures'),
    contact: () => program.read('ic_contact'),
    save: () => program.save(),

    open(bytes, name = 'file') {
      const array = bytes instanceof Uint8Array ? bytes : new Uint8Array(bytes);
      const answer = program.openPlaced(name, program.place(array), array.length);
      frames.ask();
      return valueOf(answer);
    },

    act(name, args = {}) {
      const answer = program.callWith('ic_act', [name, JSON.stringify(args)]);
      frames.ask();
      return valueOf(answer);
    },

    /** The page around the program: frames drawn so far, sizes in device and logical pixels, when it could first be used after
     the page was asked for, what is kept, files offered. */
    page: () => ({
      frames: frames.drawn,
      idle: !frames.pending && !program.call('ic_wants_frame') && !program.call('ic_busy'),
      width: frames.canvas.clientWidth,
      height: frames.canvas.clientHeight,
      device_width: frames.canvas.width,
      device_height: frames.canvas.height,
      usable_after_ms: usableAfter,
      kept_at: keptAt(),
      writing: isWriting() || program.call('ic_keeping') !== 0,
      offered: host.offered.slice(),
    }),
  };
  Object.assign(window.intercusp, here);
  return window.intercusp;
}

/** window.intercusp is there from the first moment; `ready` is fulfilled when the program can be used. */
export function offerMessages(started) {
  window.intercusp = { ready: started.then(() => window.intercusp) };
  started.catch((error) => console.error(error));
}


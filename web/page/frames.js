// Draws a frame when something asked for one, and nothing while the page is idle.
import { followTextField } from './keys.js';

const cursors = ['none', 'default', 'text', 'move', 'ns-resize', 'ew-resize', 'nesw-resize', 'nwse-resize', 'pointer',
  'not-allowed'];

const busyMs = 150;  // between two looks at what is done beside the screen
const longestHold = 50;  // ms

export class Frames {
  constructor(program, canvas) {
    this.program = program;
    this.canvas = canvas;
    this.drawn = 0;
    this.stopped = false;
    this.pending = false;
    this.wantsText = false;
    this.later = 0;
    this.held = null;
  }

  /** What other people wait for goes before the next picture, for a moment: each step of sealing or opening would wait for the
   page's turn behind one. */
  hold(work) {
    const done = Promise.race([Promise.resolve(work).catch(() => {}), new Promise((r) => { setTimeout(r, longestHold); })]);
    this.held = done;
    done.then(() => { if (this.held === done) this.held = null; });
  }

  /** Asks for a frame soon; called after anything that may change the picture. */
  ask() {
    if (this.pending || this.stopped) return;
    this.pending = true;
    const draw = () => {
      this.pending = false;
      this.draw();
    };
    const run = () => (this.held ? this.held.then(draw) : draw());
    // A hidden page gets no animation frames, but work under way (keeping the case) must come to its end.
    if (document.hidden) setTimeout(run, 50);
    else requestAnimationFrame(run);
  }

  /** Draws now, within the caller's event. */
  draw() {
    if (this.stopped) return;
    const wishes = this.program.call('ic_frame', performance.now() / 1000);
    this.drawn += 1;
    this.wantsText = (wishes & 2) !== 0;
    this.canvas.style.cursor = cursors[wishes >> 8] ?? 'default';
    followTextField(this.wantsText);
    if (wishes & 1) this.ask();
    else this.askLater((wishes & 4) !== 0);
  }

  /** Asks for the frame that is due at a known time. While something is being done beside the screen, what is said about
   it is kept up to date as well. */
  askLater(busy) {
    clearTimeout(this.later);
    const due = this.program.call('ic_next_frame_in');
    const wait = Math.min(due < 0 ? Infinity : Math.ceil(due), busy ? busyMs : Infinity);
    if (wait === Infinity) return;
    this.later = setTimeout(() => this.ask(), wait);
  }

  /** Fulfilled when the case that the page opens on is there, or could not be opened. */
  async firstCase() {
    while (!this.program.call('ic_has_case') && (this.drawn < 3 || this.program.call('ic_busy'))) {
      if (!this.pending && this.drawn < 3) this.ask();  // then drawing would only take time from what makes the case
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  }

  /** The WebGL context went away or came back. */
  stop() {
    this.stopped = true;
  }

  resume() {
    this.stopped = false;
    this.ask();
  }
}

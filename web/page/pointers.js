// Mouse, pen and touch. One finger is a mouse with a touch flag; two fingers pan and zoom and the mouse is out of play.
const buttonOf = [0, 2, 1, 3, 4];    // the browser's order is left, middle, right
const notchesPerDoubling = Math.log(2) / Math.log(1.13);  // so that a pinch to twice the distance doubles the picture

export function watchPointers(canvas, program, frames) {
  const touches = new Touches(program);
  const at = (event) => [event.offsetX, event.offsetY];
  // Large targets from the start where a finger is what there is, not only after the first touch.
  program.call('ic_pointer_kind', matchMedia('(pointer: coarse)').matches ? 1 : 0);

  canvas.addEventListener('pointerdown', (event) => {
    event.preventDefault();
    canvas.focus({ preventScroll: true });
    canvas.setPointerCapture(event.pointerId);
    program.call('ic_pointer_kind', event.pointerType === 'touch' ? 1 : 0);
    if (event.pointerType === 'touch') touches.down(event.pointerId, at(event));
    else {
      program.call('ic_move', ...at(event));
      program.call('ic_button', buttonOf[event.button] ?? 0, 1);
    }
    frames.ask();
  });
  canvas.addEventListener('pointermove', (event) => {
    if (event.pointerType === 'touch') touches.move(event.pointerId, at(event));
    else movedMouse(event, program, at(event));
    frames.ask();
  });
  const lifted = (event) => {
    if (event.pointerType === 'touch') touches.up(event.pointerId);
    else program.call('ic_button', buttonOf[event.button] ?? 0, 0);
    // A tap into a text field raises the on-screen keyboard only within this event.
    if (event.pointerType === 'touch') drawUntilSettled(frames);
    frames.ask();
  };
  canvas.addEventListener('pointerup', lifted);
  canvas.addEventListener('pointercancel', lifted);
  canvas.addEventListener('pointerleave', (event) => {
    if (event.pointerType !== 'touch' && !event.buttons) program.call('ic_leave');
    frames.ask();
  });
  canvas.addEventListener('contextmenu', (event) => event.preventDefault());
  watchWheel(canvas, program, frames);
}

function movedMouse(event, program, position) {
  program.call('ic_pointer_kind', 0);
  program.call('ic_move', ...position);
  // A second button pressed while one is held comes as a move, by the pointer events standard.
  if (event.button >= 0) program.call('ic_button', buttonOf[event.button] ?? 0, (event.buttons & bitOf(event.button)) ? 1 : 0);
}

const bitOf = (button) => [1, 4, 2, 8, 16][button] ?? 0;

function drawUntilSettled(frames) {
  for (let i = 0; i < 4; i += 1) frames.draw();
}

class Touches {
  constructor(program) {
    this.program = program;
    this.fingers = new Map();
    this.gesture = null;
  }

  down(id, position) {
    this.fingers.set(id, position);
    if (this.fingers.size === 1) this.press(0, position);
    if (this.fingers.size === 2) this.begin();
  }

  move(id, position) {
    if (!this.fingers.has(id)) return;
    this.fingers.set(id, position);
    if (this.gesture) this.pinch();
    else if (this.fingers.size === 1) this.program.call('ic_move', ...position);
  }

  up(id) {
    if (!this.fingers.delete(id)) return;
    if (this.gesture && this.fingers.size < 2) this.end();
    else if (!this.gesture && !this.suppressed) this.lift(0);
    if (this.fingers.size === 0) this.suppressed = false;
  }

  /** The place is known one frame before the press, as it is with a mouse. */
  press(button, position) {
    this.program.call('ic_move', ...position);
    this.program.call('ic_barrier');
    this.program.call('ic_button', button, 1);
  }

  lift(button) {
    this.program.call('ic_button', button, 0);
    this.program.call('ic_barrier');
    this.program.call('ic_leave');
  }

  begin() {
    // The first finger's press is taken back away from everything, so that it clicks nothing.
    this.program.call('ic_leave');
    this.program.call('ic_barrier');
    this.program.call('ic_button', 0, 0);
    this.program.call('ic_barrier');
    this.gesture = this.measure();
    this.press(1, this.gesture.centre);
  }

  pinch() {
    const now = this.measure();
    this.program.call('ic_move', ...now.centre);
    const notches = Math.log2(now.distance / this.gesture.distance) * notchesPerDoubling;
    if (Math.abs(notches) > 0.02) {
      this.program.call('ic_wheel', 0, notches);
      this.gesture.distance = now.distance;
    }
  }

  end() {
    this.gesture = null;
    this.suppressed = this.fingers.size > 0;
    this.lift(1);
  }

  measure() {
    const [a, b] = [...this.fingers.values()];
    return { centre: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], distance: Math.max(8, Math.hypot(a[0] - b[0], a[1] - b[1])) };
  }
}

/** Wheel turns in notches, whatever unit the browser counts in; a pinch on a trackpad comes as a wheel with Ctrl. */
export function wheelNotches(event) {
  const perNotch = [100, 3, 1][event.deltaMode] ?? 100;
  const factor = event.ctrlKey && event.deltaMode === 0 ? 8 : 1;
  const clamp = (delta) => Math.max(-3, Math.min(3, (-delta * factor) / perNotch));
  return [clamp(event.deltaX), clamp(event.deltaY)];
}

function watchWheel(canvas, program, frames) {
  canvas.addEventListener('wheel', (event) => {
    event.preventDefault();
    program.call('ic_move', event.offsetX, event.offsetY);
    program.call('ic_wheel', ...wheelNotches(event));
    frames.ask();
  }, { passive: false });
}

// The canvas follows the page's size in device pixels, and survives the loss of its WebGL context.
import { rememberState } from './gl_state.js';
import { notice, closeNotice } from './notice.js';

/** Makes the canvas's context with the attributes that the program asks for (web/platform.cpp). */
export function beginContext(canvas) {
  const gl = canvas.getContext('webgl2', { alpha: false, depth: true, stencil: false, antialias: false,
    powerPreference: 'high-performance' });
  if (gl) rememberState(gl);
}

/** The browser's exact count where it agrees with the device pixel ratio (under emulation it may not), else the rounded one. */
function devicePixels(length, exact) {
  const expected = length * devicePixelRatio;
  return exact !== undefined && Math.abs(exact - expected) < 2 ? exact : Math.round(expected);
}

export function watchCanvas(canvas, program, frames) {
  const measure = (entry) => {
    const width = canvas.clientWidth;
    const height = canvas.clientHeight;
    const box = entry?.devicePixelContentBoxSize?.[0];
    const deviceWidth = devicePixels(width, box?.inlineSize);
    const deviceHeight = devicePixels(height, box?.blockSize);
    if (!width || !height) return;
    if (canvas.width !== deviceWidth || canvas.height !== deviceHeight) {
      canvas.width = deviceWidth;
      canvas.height = deviceHeight;
    }
    program.call('ic_window', deviceWidth, deviceHeight, width, height, deviceWidth / width);
  };
  measure();
  const observer = new ResizeObserver(([entry]) => {
    measure(entry);
    frames.draw();  // within the same frame as the new size: no stretched picture in between
  });
  try {
    observer.observe(canvas, { box: 'device-pixel-content-box' });
  } catch {
    observer.observe(canvas);
  }
  watchContext(canvas, program, frames);
}

function watchContext(canvas, program, frames) {
  canvas.addEventListener('webglcontextlost', (event) => {
    event.preventDefault();  // without this the browser never gives it back
    frames.stop();
    program.call('ic_context_lost');
    notice('The graphics system was reset; the view returns by itself. Nothing is lost.', []);
  });
  canvas.addEventListener('webglcontextrestored', () => {
    enableExtensions(canvas);
    program.call('ic_context_restored');
    closeNotice();
    frames.resume();
  });
}

/** A restored context starts without the extensions that were enabled when it was made. */
function enableExtensions(canvas) {
  const gl = canvas.getContext('webgl2');
  for (const name of gl.getSupportedExtensions() ?? []) {
    if (!/lose_context|debug/.test(name)) gl.getExtension(name);
  }
}

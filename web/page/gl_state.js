// Answers questions about drawing state from memory. In a browser each such question waits for the graphics process, and Dear
// ImGui's renderer asks eight of them a frame, about values that the program itself set.
const VIEWPORT = 0x0BA2;
const SCISSOR_BOX = 0x0C10;
const BLEND_SRC_RGB = 0x80C9;
const BLEND_DST_RGB = 0x80C8;
const BLEND_SRC_ALPHA = 0x80CB;
const BLEND_DST_ALPHA = 0x80CA;
const BLEND_EQUATION_RGB = 0x8009;
const BLEND_EQUATION_ALPHA = 0x883D;

export function rememberState(gl) {
  const known = new Map();
  const learn = (name, note) => {
    const original = gl[name];
    gl[name] = (...values) => {
      note(...values);
      return original.apply(gl, values);
    };
  };
  const blend = (srcRgb, dstRgb, srcAlpha, dstAlpha) => {
    known.set(BLEND_SRC_RGB, srcRgb).set(BLEND_DST_RGB, dstRgb).set(BLEND_SRC_ALPHA, srcAlpha).set(BLEND_DST_ALPHA, dstAlpha);
  };
  const equation = (rgb, alpha) => known.set(BLEND_EQUATION_RGB, rgb).set(BLEND_EQUATION_ALPHA, alpha);
  learn('viewport', (...box) => known.set(VIEWPORT, Int32Array.from(box)));
  learn('scissor', (...box) => known.set(SCISSOR_BOX, Int32Array.from(box)));
  learn('blendFunc', (src, dst) => blend(src, dst, src, dst));
  learn('blendFuncSeparate', blend);
  learn('blendEquation', (mode) => equation(mode, mode));
  learn('blendEquationSeparate', equation);
  const ask = gl.getParameter;
  gl.getParameter = (name) => {
    if (!known.has(name)) return ask.call(gl, name);
    const value = known.get(name);
    return value instanceof Int32Array ? value.slice() : value;
  };
  gl.canvas.addEventListener('webglcontextlost', () => known.clear());
}

#version 300 es
// One triangle over the viewport.
out vec2 at;
void main() {
  vec2 p = vec2(float((gl_VertexID << 1) & 2), float(gl_VertexID & 2));
  at = p;
  gl_Position = vec4(p * 2.0 - 1.0, 0.0, 1.0);
}

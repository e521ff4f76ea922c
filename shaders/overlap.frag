#version 300 es
// What two bodies share in a section: hatched against the stripes of either, in the colour of overlap (vermillion).
precision highp float;

out vec4 pixel;

void main() {
  float stripe = step(0.42, fract((gl_FragCoord.x - gl_FragCoord.y) / 9.0));
  // Flat, as the inside that the section opened.
  pixel = vec4(mix(vec3(0.50, 0.20, 0.02), vec3(0.90, 0.46, 0.14), stripe), 254.0 / 255.0);
}

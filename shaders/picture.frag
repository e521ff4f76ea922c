#version 300 es
precision mediump float;
in vec2 at;
uniform sampler2D picture;
out vec4 pixel;
void main() { pixel = vec4(texture(picture, at).rgb, 1.0); }

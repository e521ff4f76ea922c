#version 300 es
// One body in one view. The vertex buffer never changes: the pose is a uniform.
precision highp float;

layout(location = 0) in vec3 position;   // mm, the body's own space
layout(location = 1) in vec3 normal;
layout(location = 2) in vec4 colour;     // sRGB of the scan; a = 0 where the scan has none
layout(location = 3) in float cavity;    // -1 groove .. +1 ridge
layout(location = 6) in float opened_at;  // 1 on a sawn face, -1 where bone was cut back, 0 on whole bone
layout(location = 5) in float zone;      // 1 where painted
layout(location = 4) in float gap;       // mm to the other jaw, negative inside; large = out of reach

uniform mat4 view_from_body;
uniform mat4 clip_from_view;
uniform float behind_mm;                 // drawn as if so much further away
uniform vec4 clip_plane;                 // view space; keeps dot(plane, (p,1)) >= 0
uniform vec3 plain_colour;               // linear, where the scan has no colours
uniform vec3 tint;                       // linear, multiplied (selection, dimming)

out vec3 view_normal;
out vec3 base_colour;                    // linear
out float vertex_cavity;
out float vertex_gap;
out float vertex_zone;
out float vertex_opened;
out float clip_distance;

vec3 linear_from_srgb(vec3 c) { return mix(c / 12.92, pow((c + 0.055) / 1.055, vec3(2.4)), step(0.04045, c)); }

void main() {
  vec4 p = view_from_body * vec4(position, 1.0);
  view_normal = mat3(view_from_body) * normal;
  base_colour = tint * (colour.a > 0.5 ? linear_from_srgb(colour.rgb) : plain_colour);
  vertex_cavity = cavity;
  vertex_gap = gap;
  vertex_zone = zone;
  vertex_opened = opened_at;
  clip_distance = dot(clip_plane, p);
  gl_Position = clip_from_view * (p - vec4(0.0, 0.0, behind_mm, 0.0));
}

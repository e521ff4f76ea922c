#version 300 es
// Turns one view's colour and depth into the picture: background, soft ambient occlusion, dark contour, ghost outline.
// Each form has what its view needs and no more, since software shades every branch, taken or not:
//   OCCLUSION  shade in the grooves (left out while something moves)     GHOST    the outline of where a jaw began
//   INSIDE     some body's inside may be seen                            SECTION  a section opens the bodies
precision highp float;
precision highp sampler2D;

#if defined(SECTION) && !defined(INSIDE)
#define INSIDE
#endif

in vec2 at;
uniform sampler2D scene_colour;
uniform sampler2D scene_depth;
uniform sampler2D ghost_depth;
uniform vec4 window;          // this view inside the textures: origin and size, 0..1
uniform vec2 texel;           // 1 / texture size
uniform float depth_mm;       // depth range of the view, mm
uniform float px_per_mm;
uniform float line_px;        // width of a contour
uniform vec3 ghost_colour;    // sRGB
uniform vec3 background_top;  // sRGB
uniform vec3 background_bottom;
out vec4 pixel;

float depth_at(sampler2D map, vec2 uv) {
  vec2 low = window.xy + 0.5 * texel, high = window.xy + window.zw - 0.5 * texel;
  return texture(map, clamp(uv, low, high)).r;
}

// Strength of a silhouette: how far the surface beyond this pixel falls away behind the plane through it.
float contour(sampler2D map, vec2 uv, float step_px, float from_mm, float to_mm) {
  float here = depth_at(map, uv);
  vec2 dx = vec2(texel.x * step_px, 0.0), dy = vec2(0.0, texel.y * step_px);
  float l = depth_at(map, uv - dx), r = depth_at(map, uv + dx);
  float d = depth_at(map, uv - dy), u = depth_at(map, uv + dy);
  float bend = max(abs(l + r - 2.0 * here), abs(d + u - 2.0 * here)) * depth_mm;
  return smoothstep(from_mm, to_mm, bend);
}

#ifdef OCCLUSION
const int kTaps = 16;

// Share of the surroundings within reach that stands in front of this place.
float openness(vec2 uv, float here) {
  float turn = fract(52.9829189 * fract(dot(gl_FragCoord.xy, vec2(0.06711056, 0.00583715)))) * 6.2831853;
  float hidden = 0.0;
  for (int i = 0; i < kTaps; ++i) {
    float part = (float(i) + 0.5) / float(kTaps);
    float reach = (0.35 + 2.6 * part) * px_per_mm;
    float angle = turn + 2.3999632 * float(i);
    float there = depth_at(scene_depth, uv + vec2(cos(angle), sin(angle)) * reach * texel);
    float front = (here - there) * depth_mm;
    float slope = front / (0.35 + 2.6 * part);
    hidden += smoothstep(0.15, 1.3, slope) * (1.0 - smoothstep(3.0, 7.0, front));
  }
  return 1.0 - 0.55 * hidden / float(kTaps);
}

#endif

#ifdef INSIDE
float is_cut(vec2 uv) {
  return step(abs(texture(scene_colour, uv).a - 254.0 / 255.0), 0.0015);
}

#endif

#ifdef SECTION
// A sliver of surface in the middle of one body's inside, as where it folds: what lies on both sides of it is flat and of
// one colour, and so is it. A gap between two bodies has two colours.
bool sliver(vec2 uv, vec2 aside, out vec3 inside) {
  vec4 a = texture(scene_colour, uv - aside), b = texture(scene_colour, uv + aside);
  inside = a.rgb;
  bool both = is_cut(uv - aside) + is_cut(uv + aside) > 1.5;
  return both && dot(normalize(a.rgb), normalize(b.rgb)) > 0.999;
}

#endif

void main() {
  vec2 uv = window.xy + at * window.zw;
  vec4 scene = texture(scene_colour, uv);
  float here = depth_at(scene_depth, uv);
  vec3 back = mix(background_bottom, background_top, at.y);
  vec3 colour = scene.rgb;
  // The inside that a section opened is drawn flat: what lies deeper in it says nothing.
  bool cut = false;
#ifdef INSIDE
  cut = is_cut(uv) > 0.5;
#endif
#ifdef SECTION
  vec3 inside;
  vec2 reach = 1.5 * line_px * texel;
  if (!cut && (sliver(uv, vec2(reach.x, 0.0), inside) || sliver(uv, vec2(0.0, reach.y), inside))) {
    cut = true;
    colour = inside;
  }
#endif
#ifdef OCCLUSION
  if (here < 1.0 && !cut) colour *= openness(uv, here);
#endif
  float line = cut ? 0.0 : contour(scene_depth, uv, line_px, 0.5, 1.6);
  vec3 shown = back * (1.0 - scene.a) + colour;  // the scene is premultiplied
  shown = mix(shown, shown * 0.30, 0.62 * line);
#ifdef GHOST
  float ghost = contour(ghost_depth, uv, line_px, 0.9, 1.8);
  float behind = depth_at(ghost_depth, uv) > here + 0.3 / depth_mm ? 0.55 : 0.9;
  shown = mix(shown, ghost_colour, ghost * behind);
#endif
  pixel = vec4(shown, 1.0);
}

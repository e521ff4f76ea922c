#version 300 es
// Two forms: OPENED, for a body that is cut, trimmed or seen through, and the plain one, which discards nothing, so that
// hidden pixels are not shaded.
precision highp float;

in vec3 view_normal;
in vec3 base_colour;          // linear
in float vertex_cavity;
in float vertex_gap;
in float clip_distance;

uniform float shininess_amount;
uniform int gap_mode;         // 0 none, 1 signed (diverging), 2 one-sided amounts
uniform float gap_limit;      // mm at the end of the map
uniform sampler2D maps;       // row 0 diverging, row 1 one-sided
uniform vec3 cut_colour;      // linear, inside of a body where the section opens it
#ifdef OPENED
uniform float opacity;        // 1 = solid
uniform int trim;             // 0 whole, 1 without what overlaps, 2 only what overlaps, as a fresh surface
#else
const float opacity = 1.0;
#endif

out vec4 pixel;

vec3 linear_from_srgb(vec3 c) { return mix(c / 12.92, pow((c + 0.055) / 1.055, vec3(2.4)), step(0.04045, c)); }
vec3 srgb_from_linear(vec3 c) {
  c = clamp(c, 0.0, 1.0);
  return mix(c * 12.92, 1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c));
}

// Amount of the gap map here, and its colour.
vec4 gap_colour() {
  if (gap_mode == 0 || vertex_gap > gap_limit) return vec4(0.0);
  float at = gap_mode == 1 ? 0.5 - 0.5 * clamp(vertex_gap / gap_limit, -1.0, 1.0)
                           : clamp(-vertex_gap / gap_limit, 0.0, 1.0);
  if (gap_mode == 2 && vertex_gap > 0.0) return vec4(0.0);
  vec3 c = linear_from_srgb(texture(maps, vec2(at, gap_mode == 1 ? 0.25 : 0.75)).rgb);
  float fade = gap_mode == 1 ? 1.0 - smoothstep(0.75 * gap_limit, gap_limit, vertex_gap) : 1.0;
  return vec4(c, 0.92 * fade);
}

#ifdef OPENED
// Throws away what is not to be seen; true when the pixel is the surface that taking the overlap off would leave.
bool opened(vec3 n) {
  if (clip_distance < 0.0) discard;
  if (trim == 1 && vertex_gap < -0.02) discard;
  if (!gl_FrontFacing && opacity < 1.0) discard;
  if (trim != 2) return false;
  if (vertex_gap >= -0.02) discard;
  // Hatched, shaded by how it faces the viewer.
  float stripe = step(0.5, fract((gl_FragCoord.x - gl_FragCoord.y) / 6.0));
  vec3 fresh = mix(vec3(0.66, 0.11, 0.0), vec3(0.80, 0.42, 0.22), stripe) * (0.45 + 0.55 * abs(n.z));
  pixel = vec4(srgb_from_linear(fresh), 1.0);
  return true;
}
#endif

// The inside of an open scan, or what the section opened: hatched in the screen.
void draw_inside() {
  float stripe = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / 7.0));
  // An alpha of its own tells the next step that this is flat.
  pixel = vec4(srgb_from_linear(cut_colour * mix(0.80, 1.0, stripe)), 254.0 / 255.0);
}

void main() {
  vec3 n = normalize(view_normal);
#ifdef OPENED
  if (opened(n)) return;
#endif
  if (!gl_FrontFacing) {
    draw_inside();
    return;
  }
  vec4 map = gap_colour();
  vec3 base = mix(base_colour, map.rgb, map.a);

  vec3 key = normalize(vec3(-0.45, 0.62, 0.64));   // the viewer's upper left
  vec3 fill = normalize(vec3(0.75, -0.15, 0.60));
  float k = dot(n, key);
  float wrapped = max((k + 0.18) / 1.18, 0.0);
  float sky = 0.5 + 0.5 * n.y;
  vec3 light = vec3(1.00, 0.965, 0.91) * wrapped * 0.82
             + vec3(0.78, 0.86, 1.00) * max(dot(n, fill), 0.0) * 0.16
             + mix(vec3(0.150, 0.135, 0.130), vec3(0.255, 0.275, 0.300), sky);
  float groove = clamp(1.0 + 0.62 * vertex_cavity, 0.36, 1.16);
  float facing = clamp(n.z, 0.0, 1.0);
  float rim = mix(0.66, 1.0, smoothstep(0.0, 0.55, facing));
  vec3 lit = base * light * groove * rim;

  vec3 half_way = normalize(key + vec3(0.0, 0.0, 1.0));
  float gloss = pow(max(dot(n, half_way), 0.0), 48.0) * shininess_amount * groove;
  float edge = mix(min(1.0, 2.2 * opacity), opacity, smoothstep(0.0, 0.7, facing));
  float solid = opacity < 1.0 ? edge : 1.0;
  pixel = vec4(srgb_from_linear(lit + gloss * (1.0 - 0.7 * map.a)) * solid, solid);
}

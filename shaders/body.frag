#version 300 es
// Each form has what its body needs and no more, since software shades every branch, taken or not:
//   OPENED  cut, trimmed or seen through; the others discard nothing, so that hidden pixels are not shaded
//   INSIDE  the inside may be seen       MAPPED  coloured by gap or thickness
//   ZONES   painted zones                FRESH   faces that were sawn or cut back
precision highp float;

in vec3 view_normal;
in vec3 base_colour;          // linear
in float vertex_cavity;
in float vertex_gap;
in float vertex_zone;          // 1 where a zone is painted
in float vertex_opened;       // 1 on a sawn face, -1 where bone was cut back; between them the rim
in float clip_distance;

uniform float shininess_amount;
uniform int gap_mode;         // 0 none, 1 signed (diverging), 2 one-sided amounts, 3 thickness of what is printed
uniform float thin_below;     // mm; in mode 3, hatched
uniform float gap_limit;      // mm at the end of the map
uniform sampler2D maps;       // row 0 diverging, row 1 one-sided
uniform vec3 cut_colour;      // linear, inside of a body where the section opens it
uniform float look_scale;     // device pixels a logical one: hatching and dots look alike on every screen
uniform int cut_crossed;      // 1: hatched both ways, as what is printed
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

const float kThickest = 8.0;  // mm; more is not known

#ifdef MAPPED
// Amount of the gap map here, and its colour.
vec4 gap_colour() {
  if (gap_mode == 3) {
    if (vertex_gap > kThickest) return vec4(0.0);
    vec3 thick = linear_from_srgb(texture(maps, vec2(clamp(vertex_gap / gap_limit, 0.0, 1.0), 0.75)).rgb);
    float stripe = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / (7.0 * look_scale)));
    bool thin = vertex_gap < thin_below;
    return vec4(thin ? mix(thick, vec3(0.66, 0.11, 0.0), stripe) : thick, 1.0);
  }
  if (gap_mode == 0 || vertex_gap > gap_limit) return vec4(0.0);
  float at = gap_mode == 1 ? 0.5 - 0.5 * clamp(vertex_gap / gap_limit, -1.0, 1.0)
                           : clamp(-vertex_gap / gap_limit, 0.0, 1.0);
  if (gap_mode == 2 && vertex_gap > 0.0) return vec4(0.0);
  vec3 c = linear_from_srgb(texture(maps, vec2(at, gap_mode == 1 ? 0.25 : 0.75)).rgb);
  float fade = gap_mode == 1 ? 1.0 - smoothstep(0.75 * gap_limit, gap_limit, vertex_gap) : 1.0;
  return vec4(c, 0.92 * fade);
}

// What the surface looks like under the map, whose share is `map.a`.
vec3 mapped(vec3 plain, vec4 map) {
  // Under the map the surface is dark and nearly grey: the white of touching would be lost on enamel.
  float grey = 0.10 + 0.12 * dot(base_colour, vec3(0.2126, 0.7152, 0.0722));
  vec3 ground = gap_mode == 0 || gap_mode == 3 ? plain : mix(vec3(grey), 0.40 * plain, 0.45);
  vec3 base = mix(ground, map.rgb, map.a);
  // A line where the surfaces meet parts gap from overlap without any colour.
  float meets = 1.0 - smoothstep(0.7, 1.5, abs(vertex_gap) / max(fwidth(vertex_gap), 1e-5));
  if (gap_mode != 0 && gap_mode != 3 && abs(vertex_gap) < gap_limit) base = mix(base, vec3(0.01), 0.85 * meets);
  return base;
}
#endif

#ifdef OPENED
// Throws away what is not to be seen; true when the pixel is the surface that taking the overlap off would leave.
bool opened(vec3 n) {
  if (clip_distance < 0.0) discard;
  if (trim == 1 && vertex_gap < -0.02) discard;
  if (!gl_FrontFacing && opacity < 1.0) discard;
  if (trim != 2) return false;
  if (vertex_gap >= -0.02) discard;
  // Hatched, shaded by how it faces the viewer.
  float stripe = step(0.5, fract((gl_FragCoord.x - gl_FragCoord.y) / (6.0 * look_scale)));
  vec3 fresh = mix(vec3(0.66, 0.11, 0.0), vec3(0.80, 0.42, 0.22), stripe) * (0.45 + 0.55 * abs(n.z));
  pixel = vec4(srgb_from_linear(fresh), 1.0);
  return true;
}
#endif

#ifdef INSIDE
// The inside of an open scan, or what the section opened: hatched in the screen.
void draw_inside() {
  float stripe = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / (7.0 * look_scale)));
  if (cut_crossed == 1) {
    vec2 lines = fract(vec2(gl_FragCoord.x + gl_FragCoord.y, gl_FragCoord.x - gl_FragCoord.y) / (9.0 * look_scale));
    stripe = step(0.2, min(lines.x, lines.y));
  }
  // An alpha of its own tells the next step that this is flat.
  pixel = vec4(srgb_from_linear(cut_colour * mix(0.80, 1.0, stripe)), 254.0 / 255.0);
}
#endif

#ifdef FRESH
// Marrow where the saw or the burr went: told from the outer bone by colour and by lines, one way where it was sawn, both
// ways where it was cut back.
vec3 bone_colour(vec3 whole) {
  if (abs(vertex_opened) < 0.99) return whole;
  vec2 lines = fract(vec2(gl_FragCoord.x + gl_FragCoord.y, gl_FragCoord.x - gl_FragCoord.y) / (8.0 * look_scale));
  if (vertex_opened > 0.0) return mix(vec3(0.30, 0.10, 0.06), vec3(0.66, 0.36, 0.24), step(0.38, lines.x));
  return mix(vec3(0.50, 0.09, 0.0), vec3(0.86, 0.45, 0.20), step(0.25, min(lines.x, lines.y)));
}
#endif

#ifdef ZONES
// A zone: a deep reddish purple (after Okabe and Ito 2008) that stands out from gum as from enamel, with light dots so
// that it does not rest on the colour alone, and a dark rim.
vec3 zoned(vec3 base) {
  if (vertex_zone <= 0.03) return base;
  vec2 cell = fract(gl_FragCoord.xy / (8.0 * look_scale)) - 0.5;
  vec3 inside = dot(cell, cell) < 0.05 ? vec3(0.80, 0.52, 0.72) : vec3(0.080, 0.008, 0.095);
  return mix(base, vertex_zone > 0.5 ? inside : vec3(0.02, 0.003, 0.024), 0.93);
}
#endif

void main() {
  vec3 n = normalize(view_normal);
#ifdef OPENED
  if (opened(n)) return;
#endif
#ifdef INSIDE
  if (!gl_FrontFacing) {
    draw_inside();
    return;
  }
#endif
  vec3 base = base_colour;
  float map_share = 0.0;
#ifdef FRESH
  base = bone_colour(base);
#endif
#ifdef MAPPED
  vec4 map = gap_colour();
  base = mapped(base, map);
  map_share = map.a;
#endif
#ifdef ZONES
  base = zoned(base);
#endif

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
  pixel = vec4(srgb_from_linear(lit + gloss * (1.0 - 0.7 * map_share)) * solid, solid);
}

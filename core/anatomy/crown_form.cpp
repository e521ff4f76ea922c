#include "anatomy/crown_form.h"

#include <cassert>

#include "anatomy/notation.h"
#include "anatomy/tooth_table.h"

namespace intercusp {

namespace {

using Row = CrownWalls::Row;

/// Widths over depth as fractions: depth of the crown length, mesial and distal of the mesiodistal size, buccal and
/// lingual of the buccolingual size. The last knot lies on the root, inside the gum.
struct WallFractions {
  Row mesial, distal, buccal, lingual;
};

constexpr Row kDepth{0.0, 0.12, 0.30, 0.50, 0.68, 0.82, 1.0, 1.4};

// The outlines follow the textbook pictures of each tooth (drawn by eye); the greatest widths, and the widths at the
// cervix, are those of the tooth table.
constexpr WallFractions kUpperCentral{{.455, .492, .500, .488, .462, .430, .412, .34},
                                      {.425, .475, .500, .492, .465, .430, .412, .34},
                                      {.075, .155, .250, .330, .390, .415, .405, .30},
                                      {.075, .130, .185, .245, .385, .585, .570, .42}};
constexpr WallFractions kUpperLateral{{.430, .485, .500, .485, .450, .410, .385, .32},
                                      {.380, .450, .500, .495, .455, .410, .385, .32},
                                      {.080, .160, .255, .330, .390, .420, .410, .30},
                                      {.080, .135, .190, .255, .395, .580, .560, .42}};
constexpr WallFractions kLowerIncisor{{.475, .500, .492, .462, .420, .375, .350, .28},
                                      {.470, .500, .492, .462, .420, .375, .350, .28},
                                      {.085, .150, .225, .300, .365, .420, .410, .32},
                                      {.075, .120, .180, .260, .420, .580, .560, .42}};
constexpr WallFractions kUpperCanine{{.430, .465, .492, .500, .455, .400, .367, .31},
                                     {.420, .455, .485, .500, .460, .400, .367, .31},
                                     {.090, .175, .275, .365, .420, .440, .425, .33},
                                     {.090, .155, .230, .320, .450, .560, .540, .42}};
constexpr WallFractions kLowerCanine{{.460, .485, .500, .490, .460, .415, .390, .32},
                                     {.440, .470, .495, .500, .460, .415, .390, .32},
                                     {.085, .165, .260, .345, .405, .430, .420, .33},
                                     {.085, .145, .215, .310, .450, .570, .550, .42}};
constexpr WallFractions kUpperPremolar{{.420, .478, .500, .478, .430, .385, .357, .32},
                                       {.420, .478, .500, .478, .430, .385, .357, .32},
                                       {.330, .400, .455, .488, .500, .480, .450, .37},
                                       {.320, .410, .475, .500, .490, .465, .440, .36}};
constexpr WallFractions kLowerPremolar{{.420, .478, .500, .478, .430, .385, .357, .32},
                                       {.420, .478, .500, .478, .430, .385, .357, .32},
                                       {.260, .350, .430, .480, .500, .480, .450, .37},
                                       {.360, .450, .490, .500, .490, .455, .425, .35}};
constexpr WallFractions kUpperMolar{{.445, .485, .500, .487, .458, .422, .400, .36},
                                    {.445, .485, .500, .487, .458, .422, .400, .36},
                                    {.370, .425, .470, .492, .500, .482, .455, .40},
                                    {.370, .445, .487, .500, .490, .470, .455, .40}};
constexpr WallFractions kLowerMolar{{.445, .485, .500, .485, .455, .422, .405, .37},
                                    {.445, .485, .500, .485, .455, .422, .405, .37},
                                    {.335, .405, .460, .488, .500, .480, .440, .38},
                                    {.385, .450, .488, .500, .488, .455, .430, .37}};

const WallFractions& wall_fractions(int iso) {
  const bool upper = is_upper(iso);
  switch (position(iso)) {
    case 1:
      return upper ? kUpperCentral : kLowerIncisor;
    case 2:
      return upper ? kUpperLateral : kLowerIncisor;
    case 3:
      return upper ? kUpperCanine : kLowerCanine;
    case 4:
    case 5:
      return upper ? kUpperPremolar : kLowerPremolar;
    default:
      return upper ? kUpperMolar : kLowerMolar;
  }
}

Row scaled(const Row& row, double by) {
  Row result = row;
  for (double& value : result) value *= by;
  return result;
}

double depth_of_greatest(const Row& row, double crown_length) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < row.size(); ++i)
    if (row[i] > row[best]) best = i;
  return kDepth[best] * crown_length;
}

void shape_front(CrownForm& f) {
  const bool upper = is_upper(f.iso), canine = is_canine(f.iso);
  f.front = true;
  f.outline = &OutlineNorm::of(upper ? 2.7 : 2.6);
  f.lingual_taper = 0.16;
  f.rim_mm = upper ? 0.75 : 0.6;
  f.hollow = {upper ? 0.55 : 0.25, 0.24 * f.width, 0.45 * f.crown_length, 0.26 * f.crown_length, 0.0};
  if (position(f.iso) == 1) f.edge = {0.05 * f.width, 0.015, upper ? 0.05 : 0.015, 0.6};
  if (position(f.iso) == 2) f.edge = {0.08 * f.width, 0.03, upper ? 0.13 : 0.03, 0.6};
  if (!canine) return;
  f.centre_y = 0.08 * f.thickness;
  f.outline = &OutlineNorm::of(2.25);
  f.rim_mm = 0.9;
  f.edge = {-0.02 * f.width, upper ? 0.42 : 0.36, upper ? 0.52 : 0.5, 0.55};
  f.hollow.mid_ridge = 1.0;
  f.hollow.depth_mm = upper ? 0.5 : 0.3;
  f.hollow.half_width_mm = 0.3 * f.width;
}

Cusp cusp(const CrownForm& f, double x, double y, double z, double slope_md, double slope_bl, double round) {
  return {Vec3(x * f.width, y * f.thickness, z), slope_md, slope_bl, round};
}

void add_marginal_ridges(CrownForm& f, double x, double z, double buccal, double lingual) {
  for (const double side : {1.0, -1.0})
    f.ridges.push_back({Vec3(side * x * f.width, buccal * f.thickness, z),
                        Vec3(side * x * f.width, lingual * f.thickness, z - 0.1), 0.95, 0.35});
}

void shape_premolar(CrownForm& f) {
  const bool upper = is_upper(f.iso), first = position(f.iso) == 4;
  f.outline = &OutlineNorm::of(2.3);
  f.lingual_taper = upper ? 0.12 : 0.18;
  f.rim_mm = 0.8;
  if (upper) {
    f.cusps = {cusp(f, first ? -.03 : .02, .28, 0, .55, .66, .5),
               cusp(f, .07, -.28, first ? -.75 : -.35, .55, .62, .6)};
    add_marginal_ridges(f, .40, -1.45, .2, -.2);
  } else if (first) {
    f.rim_mm = 0.65;
    f.cusps = {cusp(f, .03, .15, 0, .52, .95, .5), cusp(f, .04, -.29, -1.0, .6, .8, .45)};
    add_marginal_ridges(f, .39, -1.9, .1, -.2);
  } else {
    f.cusps = {cusp(f, .03, .21, 0, .5, .64, .55), cusp(f, .14, -.29, -.55, .55, .62, .6)};
    add_marginal_ridges(f, .40, -1.4, .15, -.25);
  }
}

void shape_upper_molar(CrownForm& f) {
  const bool first = position(f.iso) == 6;
  f.outline = &OutlineNorm::of(3.0);
  f.shear = first ? 0.10 : 0.13;
  f.lingual_taper = first ? 0.02 : 0.12;
  f.rim_mm = 0.85;
  f.cusps = {cusp(f, .255, .295, 0, .62, .64, .5), cusp(f, -.20, .285, -.3, .62, .66, .5),
             cusp(f, .13, -.24, -.05, .46, .52, .75), cusp(f, -.31, -.30, first ? -.85 : -.95, .6, .64, .5)};
  add_marginal_ridges(f, .42, -1.45, .2, -.2);
  const Vec3 sink(0, 0, -0.45);
  f.ridges.push_back({f.cusps[2].tip + sink, f.cusps[1].tip + sink, 0.8, 0.3});
  f.grooves = {{true, .03 * f.width, 0.65, 0.7, 4.4}, {false, -.10 * f.width, 0.5, 0.7, 4.0}};
}

void shape_lower_molar(CrownForm& f) {
  f.outline = &OutlineNorm::of(3.0);
  f.lingual_taper = 0.08;
  f.rim_mm = 0.85;
  if (position(f.iso) == 6) {
    f.cusps = {cusp(f, .23, .27, 0, .62, .64, .5), cusp(f, -.14, .285, -.1, .66, .64, .45),
               cusp(f, .22, -.30, .15, .58, .62, .5), cusp(f, -.20, -.30, .0, .6, .62, .5),
               cusp(f, -.385, .15, -.55, .66, .62, .4)};
    f.grooves = {{true, .045 * f.width, 0.7, 0.7, 4.6},
                 {true, -.27 * f.width, 0.55, 0.55, 3.6},
                 {false, .01 * f.width, 0.4, 0.65, 3.2}};
  } else {
    f.cusps = {cusp(f, .22, .28, 0, .62, .64, .5), cusp(f, -.22, .28, -.15, .62, .64, .5),
               cusp(f, .21, -.29, .1, .58, .62, .5), cusp(f, -.21, -.29, -.1, .6, .62, .5)};
    f.grooves = {{true, 0, 0.65, 0.7, 4.4}, {false, 0, 0.4, 0.65, 3.2}};
  }
  add_marginal_ridges(f, .43, -1.4, .15, -.2);
}

}  // namespace

CrownForm crown_form(int iso, const CrownVariation& variation) {
  const auto size = tooth_size(iso);
  assert(size && position(iso) <= 7);
  CrownForm f;
  f.iso = iso;
  f.crown_length = variation.scale * size->crown_length;
  f.width = variation.scale * size->mesiodistal;
  f.thickness = variation.scale * size->buccolingual;
  const WallFractions& w = wall_fractions(iso);
  f.walls = CrownWalls(scaled(kDepth, f.crown_length), {scaled(w.mesial, f.width), scaled(w.distal, f.width),
                                                        scaled(w.buccal, f.thickness), scaled(w.lingual, f.thickness)});
  f.contact_depth_mesial = depth_of_greatest(w.mesial, f.crown_length);
  f.contact_depth_distal = depth_of_greatest(w.distal, f.crown_length);
  f.front = false;
  if (is_incisor(iso) || is_canine(iso)) {
    shape_front(f);
  } else {
    f.centre_y = -0.05 * f.thickness;
    is_premolar(iso) ? shape_premolar(f) : is_upper(iso) ? shape_upper_molar(f) : shape_lower_molar(f);
    for (Cusp& c : f.cusps) c.tip.z() *= variation.cusp_height;
  }
  return f;
}

}  // namespace intercusp

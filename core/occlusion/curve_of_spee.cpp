#include <algorithm>
#include <cmath>

#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

// The line's two ends and the cusps between them, front to back, of one side.
struct SpeeSide {
  std::string word, front, back;
  Names cusps;
};

SpeeSide spee_side(const char* word, int quadrant) {
  const auto on = [quadrant](int position, const char* feature) {
    return tooth_point(10 * quadrant + position, feature);
  };
  return {word,
          on(1, "incisal_edge_mid"),
          on(7, "distobuccal_cusp"),
          {on(3, "cusp_tip"), on(4, "buccal_cusp"), on(5, "buccal_cusp"), on(6, "mesiobuccal_cusp"),
           on(6, "distobuccal_cusp"), on(7, "mesiobuccal_cusp")}};
}

constexpr double kLeastLineMm = 5.0;

Vec3 sagittal(const MeasureInput& in, const Vec3& v) {
  return v - in.frame->left * in.frame->left.dot(v);
}

Vec3 line_of(const MeasureInput& in, const SpeeSide& s) {
  return sagittal(in, point_of(in, s.back) - point_of(in, s.front));
}

// Perpendicular to the line in the sagittal plane, downwards.
Vec3 down_of(const MeasureInput& in, const SpeeSide& s) {
  const Vec3 down = line_of(in, s).cross(in.frame->left).normalized();
  return down.dot(in.frame->up) > 0 ? Vec3(-down) : down;
}

double depth_of(const MeasureInput& in, const SpeeSide& s, const std::string& cusp) {
  return (point_of(in, cusp) - point_of(in, s.front)).dot(down_of(in, s));
}

// The deepest cusp below the line; where all lie above it, the highest.
std::string reading_cusp(const MeasureInput& in, const SpeeSide& s) {
  std::string deepest, highest;
  double most = 0, least = 0;
  for (const std::string& cusp : s.cusps) {
    if (!has_point(in, cusp)) continue;
    const double depth = depth_of(in, s, cusp);
    if (deepest.empty() || depth > most) {
      deepest = cusp;
      most = depth;
    }
    if (highest.empty() || depth < least) {
      highest = cusp;
      least = depth;
    }
  }
  return most < 0 ? highest : deepest;
}

MeasureValue measure_spee(const MeasureInput& in, const SpeeSide& s) {
  const std::string cusp = reading_cusp(in, s);
  MeasureValue v;
  v.value = depth_of(in, s, cusp);
  v.uncertainty =
      propagated_sd(in, {s.front, s.back, cusp}, [&](const MeasureInput& x) { return depth_of(x, s, cusp); });
  const Vec3& at = point_of(in, cusp);
  const Vec3 across = in.frame->left * in.frame->left.dot(at - point_of(in, s.front));
  v.construct = {{"distance", {at - v.value * down_of(in, s), at}, cusp},
                 {"line", {point_of(in, s.front) + across, point_of(in, s.front) + across + line_of(in, s)}, ""},
                 {"path", {}, ""}};
  for (const std::string& name : s.cusps) {
    if (has_point(in, name)) v.construct.back().points.push_back(point_of(in, name));
  }
  const std::size_t placed = v.construct.back().points.size();
  if (placed < s.cusps.size())  // the deepest one may be among the others
    v.finding = "at " + std::to_string(placed) + " of " + std::to_string(s.cusps.size()) + " cusps";
  return v;
}

Names missing_spee(const MeasureInput& in, const SpeeSide& s) {
  const Names out = absent_with_frame(in, {s.front, s.cusps[3], s.back});
  if (out.empty() && line_of(in, s).norm() < kLeastLineMm) return {s.front, s.back};
  return out;
}

MeasureDefinition spee_measure(const char* word, int quadrant) {
  const SpeeSide s = spee_side(word, quadrant);
  MeasureDefinition d;
  d.id = std::string("curve_of_spee_") + word;
  d.name = std::string("Curve of Spee, ") + word;
  d.unit = "mm";
  d.group = "curve of Spee";
  d.definition =
      "All points are first projected on the sagittal plane of the maxillary occlusal frame (f and u), so that the "
      "width of the arch "
      "does not enter. Depth: the greatest perpendicular distance of a lower buccal cusp tip below the line from " +
      s.front + " to " + s.back + ". The cusps read, as far as they are placed: ";
  for (std::size_t i = 0; i < s.cusps.size(); ++i) d.definition += (i ? ", " : "") + s.cusps[i];
  d.definition += " (" + s.cusps[3] +
                  ", where it is deepest as a rule, must be placed). Where every cusp lies above the line (reverse "
                  "curve) the greatest distance "
                  "above it, negative.";
  d.source = "Marshall et al. 2008, AJODO, as summarised in PMC5324496";
  d.usual = {{0.0, 1.5}};
  d.usual_source = "Andrews 1972, sixth key: flat to slight";
  d.positive = "cusps below the line";
  d.negative = "cusps above the line (reverse curve)";
  d.sides = BriefSides{"", "rev"};
  d.needs = {s.front, s.cusps[3], s.back};
  d.takes = s.cusps;
  d.missing = [s](const MeasureInput& in) { return missing_spee(in, s); };
  d.measure = [s](const MeasureInput& in) { return measure_spee(in, s); };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> curve_of_spee_measures() {
  return {spee_measure("right", 4), spee_measure("left", 3)};
}

}  // namespace intercusp

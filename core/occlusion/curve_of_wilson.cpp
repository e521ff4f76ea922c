#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

struct WilsonArch {
  const char* word;
  int right, left;
  const char* inner;
  double usual_min, usual_max;
  Names names() const {
    return {tooth_point(right, "mesiobuccal_cusp"), tooth_point(left, "mesiobuccal_cusp"), tooth_point(right, inner),
            tooth_point(left, inner)};
  }
};

// From the line of the outer cusps down to the middle of the inner ones, perpendicular to it, seen from in front.
Vec3 wilson_vector(const MeasureInput& in, const WilsonArch& a) {
  const Names n = a.names();
  const auto seen = [&in](const Vec3& v) { return Vec3(v - in.frame->forward * in.frame->forward.dot(v)); };
  const Vec3 line = seen(point_of(in, n[1]) - point_of(in, n[0])).stableNormalized();
  const Vec3 inner = seen(0.5 * (point_of(in, n[2]) + point_of(in, n[3])) - point_of(in, n[0]));
  return inner - line * line.dot(inner);
}

double wilson_depth(const MeasureInput& in, const WilsonArch& a) {
  const Vec3 across = wilson_vector(in, a);
  return across.dot(in.frame->up) < 0 ? across.norm() : -across.norm();
}

MeasureDefinition wilson_measure(const WilsonArch& a) {
  MeasureDefinition d;
  d.id = std::string("curve_of_wilson_") + a.word;
  d.name = std::string("Curve of Wilson, ") + a.word;
  d.unit = "mm";
  d.group = "curve of Wilson";
  const Names n = a.names();
  d.definition =
      "Depth of the curve across the first molars, seen from in front (projected on l and u): how far the "
      "midpoint of the inner cusps, " +
      n[2] + " and " + n[3] + ", lies below the line through the outer ones, " + n[0] + " and " + n[1] +
      ", perpendicular to that line.";
  d.source =
      "Wilson 1911, from memory (curve through the cusp tips of both sides); as a depth: common practice, no source";
  d.usual = {{a.usual_min, a.usual_max}};
  d.usual_source = "common practice, no source";
  d.positive = "inner cusps below the outer ones";
  d.negative = "inner cusps above the outer ones (reverse curve)";
  d.sides = BriefSides{"", "rev"};
  d.needs = n;
  d.missing = [n](const MeasureInput& in) { return absent_with_frame(in, n); };
  d.measure = [a, n](const MeasureInput& in) {
    MeasureValue v;
    v.value = wilson_depth(in, a);
    v.uncertainty = propagated_sd(in, n, [&a](const MeasureInput& x) { return wilson_depth(x, a); });
    const Vec3 inner = 0.5 * (point_of(in, n[2]) + point_of(in, n[3]));
    v.construct = {{"distance", {inner - wilson_vector(in, a), inner}, ""},
                   {"line", {point_of(in, n[0]), point_of(in, n[1])}, ""},
                   {"path", {point_of(in, n[0]), point_of(in, n[2]), point_of(in, n[3]), point_of(in, n[1])}, ""}};
    return v;
  };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> curve_of_wilson_measures() {
  return {wilson_measure({"upper", 16, 26, "mesiopalatal_cusp", 0, 2.5}),
          wilson_measure({"lower", 46, 36, "mesiolingual_cusp", 0, 2.5})};
}

}  // namespace intercusp

#include "anatomy/arch_colours.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

namespace {

using Rgb = Eigen::Array3d;

const Rgb kEnamelBody(240, 230, 210), kEnamelNeck(232, 212, 178), kEnamelEdge(222, 226, 226);
const Rgb kGum(200, 132, 128), kGumMargin(214, 154, 148), kGumDeep(186, 114, 113);

Rgb mix(const Rgb& a, const Rgb& b, double t) {
  return a + (b - a) * std::clamp(t, 0.0, 1.0);
}

double smooth_step(double from, double to, double x) {
  const double t = std::clamp((x - from) / (to - from), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

const PlacedTooth& nearest_tooth(const std::vector<PlacedTooth>& teeth, const Vec3& p) {
  const PlacedTooth* best = &teeth.front();
  double least = 1e9;
  for (const PlacedTooth& tooth : teeth) {
    const double value = tooth.value(p);
    if (value < least) {
      least = value;
      best = &tooth;
    }
  }
  return *best;
}

Rgb enamel(const PlacedTooth& tooth, const Vec3& p) {
  const double depth = -tooth.local(p).z(), length = tooth.form.crown_length;
  Rgb colour = mix(kEnamelBody, kEnamelNeck, smooth_step(0.5, 1.05, depth / length));
  const double edge = tooth.form.front ? 1 - smooth_step(0.2, 2.2, depth) : 0.5 * (1 - smooth_step(0.1, 1.2, depth));
  return mix(colour, kEnamelEdge, edge);
}

}  // namespace

void paint_arch(Mesh& mesh, const ArchField& field) {
  mesh.colours.clear();
  mesh.colours.reserve(mesh.positions.size());
  for (const Vec3f& position : mesh.positions) {
    const Vec3 p = position.cast<double>();
    const double crown = field.crowns(p), gum = field.gum(p);
    const double is_gum = smooth_step(-0.08, 0.08, crown - gum);
    Rgb colour = mix(kGumMargin, mix(kGum, kGumDeep, smooth_step(3, 9, crown)), smooth_step(0.1, 1.6, crown));
    if (is_gum < 1) colour = mix(enamel(nearest_tooth(field.teeth(), p), p), colour, is_gum);
    const auto byte = [](double v) { return static_cast<std::uint8_t>(std::lround(std::clamp(v, 0.0, 255.0))); };
    mesh.colours.push_back({byte(colour.x()), byte(colour.y()), byte(colour.z()), 255});
  }
}

}  // namespace intercusp

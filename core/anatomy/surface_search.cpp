#include "anatomy/surface_search.h"

#include <algorithm>
#include <functional>

#include "anatomy/crown_marks.h"

namespace intercusp {

namespace {

/// Where a smooth function is largest: sampled, then by the golden section about the best sample.
double largest_at(const std::function<double(double)>& f, double from, double to, int samples) {
  const double step = (to - from) / samples;
  int best = 0;
  double most = -1e30;
  for (int i = 0; i <= samples; ++i) {
    const double value = f(from + i * step);
    if (value <= most) continue;
    most = value;
    best = i;
  }
  constexpr double kGolden = 0.6180339887498949;
  double a = std::max(from, from + (best - 1) * step), b = std::min(to, from + (best + 1) * step);
  double c = b - kGolden * (b - a), d = a + kGolden * (b - a), fc = f(c), fd = f(d);
  while (b - a > 1e-4) {
    const bool left = fc > fd;
    (left ? b : a) = left ? d : c;
    (left ? d : c) = left ? c : d;
    (left ? fd : fc) = left ? fc : fd;
    (left ? c : d) = left ? b - kGolden * (b - a) : a + kGolden * (b - a);
    (left ? fc : fd) = f(left ? c : d);
  }
  return 0.5 * (a + b);
}

constexpr double kRough = 1e-7;  ///< of rays on the way to an extreme, mm

Vec3 seen_within(const ScalarField& solid, const LineOfSight& look, double shift, double within_mm) {
  constexpr double kBehind = 40;
  const Vec3 eye = look.base + shift * look.axis + look.away_mm * look.towards;
  const double t = surface_along(solid, eye, -look.towards, look.away_mm + kBehind, within_mm);
  return eye - (t < 0 ? look.away_mm + kBehind : t) * look.towards;
}

}  // namespace

Vec3 seen_at(const ScalarField& solid, const LineOfSight& look, double shift) {
  return seen_within(solid, look, shift, 1e-12);
}

Vec3 extreme_along(const ScalarField& solid, const LineOfSight& look, bool highest) {
  const double sign = highest ? 1 : -1;
  const auto height = [&](double s) { return sign * look.towards.dot(seen_within(solid, look, s, kRough)); };
  return seen_at(solid, look, largest_at(height, look.from, look.to, 16));
}

Vec3 extreme_near(const ScalarField& solid, const LineOfSight& look) {
  const Vec3 across = look.towards.cross(look.axis);
  LineOfSight here = look;
  Vec3 best = seen_within(solid, here, 0, kRough);
  for (double step = 0.5 * (look.to - look.from); step > 1e-4; step *= 0.5) {
    for (bool better = true; better;) {
      better = false;
      for (const Vec3& way : {look.axis, Vec3(-look.axis), across, Vec3(-across)}) {
        LineOfSight tried = here;
        tried.base += step * way;
        const Vec3 at = seen_within(solid, tried, 0, kRough);
        if (look.towards.dot(at - best) <= kRough) continue;
        best = at;
        here = tried;
        better = true;
        break;
      }
    }
  }
  return seen_at(solid, here, 0);
}

Vec3 rim_extreme(const ScalarField& solid, LineOfSight look, const Vec3& along, double from, double to,
                 const Vec3& wanted) {
  const Vec3 base = look.base;
  const auto edge_at = [&](double s) {
    look.base = base + s * along;
    const auto height = [&](double t) { return look.towards.dot(seen_within(solid, look, t, kRough)); };
    return largest_at(height, look.from, look.to, 8);
  };
  const auto reach = [&](double s) { return wanted.dot(seen_within(solid, look, edge_at(s), kRough)); };
  const double best = largest_at(reach, from, to, 10);
  return seen_at(solid, look, edge_at(best));
}

}  // namespace intercusp

#include <algorithm>
#include <cmath>

#include "anatomy/crown_form.h"

namespace intercusp {

namespace {

/// Slopes of the monotone cubic (Fritsch and Carlson 1980, harmonic-mean form): zero at local extremes of the data.
CrownWalls::Row monotone_slopes(const CrownWalls::Row& x, const CrownWalls::Row& y) {
  constexpr std::size_t n = CrownWalls::kKnots;
  std::array<double, n - 1> secant{};
  for (std::size_t i = 0; i + 1 < n; ++i) secant[i] = (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
  CrownWalls::Row slope{};
  slope[0] = secant[0];
  slope[n - 1] = secant[n - 2];
  for (std::size_t i = 1; i + 1 < n; ++i) {
    if (secant[i - 1] * secant[i] <= 0) continue;
    const double before = x[i] - x[i - 1], after = x[i + 1] - x[i];
    const double w1 = 2 * after + before, w2 = after + 2 * before;
    slope[i] = (w1 + w2) / (w1 / secant[i - 1] + w2 / secant[i]);
  }
  return slope;
}

}  // namespace

CrownWalls::CrownWalls(const Row& depth, const std::array<Row, 4>& half_width) : depth_(depth), value_(half_width) {
  for (std::size_t side = 0; side < 4; ++side) slope_[side] = monotone_slopes(depth_, value_[side]);
}

std::array<double, 4> CrownWalls::at(double depth_mm) const {
  const double d = std::clamp(depth_mm, depth_.front(), depth_.back());
  std::size_t i = 0;
  while (i + 2 < kKnots && d > depth_[i + 1]) ++i;
  const double h = depth_[i + 1] - depth_[i], t = (d - depth_[i]) / h;
  const double t2 = t * t, t3 = t2 * t;
  const double a = 2 * t3 - 3 * t2 + 1, b = (t3 - 2 * t2 + t) * h, c = 3 * t2 - 2 * t3, e = (t3 - t2) * h;
  std::array<double, 4> result{};
  for (std::size_t side = 0; side < 4; ++side)
    result[side] = a * value_[side][i] + b * slope_[side][i] + c * value_[side][i + 1] + e * slope_[side][i + 1];
  return result;
}

}  // namespace intercusp

#pragma once

#include <algorithm>
#include <cmath>

namespace intercusp {

/// Half widths of an outline on its four sides.
struct OutlineWidths {
  double plus_x = 1, minus_x = 1, plus_y = 1, minus_y = 1;
};

/// About the distance to the outline |x/hx|^n + |y/hy|^n = 1, whose half widths may differ from side to side; negative
/// inside. It is the norm less one, over a gradient that is the same on all sides, so that the value is continuous
/// everywhere.
inline double superellipse(double x, double y, const OutlineWidths& w, double exponent) {
  const double ax = std::abs(x) / (x > 0 ? w.plus_x : w.minus_x), ay = std::abs(y) / (y > 0 ? w.plus_y : w.minus_y);
  const double q = std::pow(std::pow(ax, exponent) + std::pow(ay, exponent), 1 / exponent);
  const double cx = std::max(ax, 0.3), cy = std::max(ay, 0.3);
  const double gx = 2 * cx / (w.plus_x + w.minus_x), gy = 2 * cy / (w.plus_y + w.minus_y);
  return (q - 1) * std::sqrt((cx * cx + cy * cy) / (gx * gx + gy * gy));
}

}  // namespace intercusp

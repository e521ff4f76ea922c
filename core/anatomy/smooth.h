// Rounded union and intersection of implicit solids, with a bounded reach: where the arguments differ by `k` or more
// the result is exactly the smaller or larger one.
#pragma once

#include <algorithm>
#include <cmath>

namespace intercusp {

inline double smooth_min(double a, double b, double k) {
  const double h = k - std::abs(a - b);
  return std::min(a, b) - (h > 0 ? h * h / (4 * k) : 0.0);
}

inline double smooth_max(double a, double b, double k) {
  return -smooth_min(-a, -b, k);
}

/// |x| rounded off within about `r` of zero; 0 at 0.
inline double smooth_abs(double x, double r) {
  return std::sqrt(x * x + r * r) - r;
}

}  // namespace intercusp

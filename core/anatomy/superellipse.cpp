#include "anatomy/superellipse.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <mutex>

namespace intercusp {

OutlineNorm::OutlineNorm(double exponent) {
  for (std::size_t i = 0; i < nodes_.size(); ++i) {
    const double r = static_cast<double>(i) / kSteps;
    const double sum = 1 + std::pow(r, exponent);
    // The slope over one step, as the interpolation needs it.
    nodes_[i] = {std::pow(sum, 1 / exponent),
                 std::pow(r, exponent - 1) * std::pow(sum, 1 / exponent - 1) / static_cast<double>(kSteps)};
  }
}

const OutlineNorm& OutlineNorm::of(double exponent) {
  static std::mutex guard;
  static std::map<double, std::unique_ptr<OutlineNorm>> kept;
  const std::lock_guard<std::mutex> lock(guard);
  std::unique_ptr<OutlineNorm>& norm = kept[exponent];
  if (!norm) norm.reset(new OutlineNorm(exponent));
  return *norm;
}

double OutlineNorm::operator()(double x, double y) const {
  const double larger = std::max(x, y);
  if (larger <= 0) return 0;
  const double at = kSteps * (std::min(x, y) / larger);
  const auto i = static_cast<std::size_t>(at);
  const Node &a = nodes_[i], &b = nodes_[i + 1];
  const double t = at - static_cast<double>(i), rise = b.value - a.value;
  const double c2 = 3 * rise - 2 * a.slope - b.slope, c3 = a.slope + b.slope - 2 * rise;
  return larger * (a.value + t * (a.slope + t * (c2 + t * c3)));
}

double superellipse(double x, double y, const OutlineWidths& w, const OutlineNorm& norm) {
  const double ax = std::abs(x) / (x > 0 ? w.plus_x : w.minus_x), ay = std::abs(y) / (y > 0 ? w.plus_y : w.minus_y);
  const double cx = std::max(ax, 0.3), cy = std::max(ay, 0.3);
  const double gx = 2 * cx / (w.plus_x + w.minus_x), gy = 2 * cy / (w.plus_y + w.minus_y);
  return (norm(ax, ay) - 1) * std::sqrt((cx * cx + cy * cy) / (gx * gx + gy * gy));
}

}  // namespace intercusp

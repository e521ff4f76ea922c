#include "anatomy/arch_curve.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace intercusp {

double BetaArch::constant() const {
  return std::pow(4.0, exponent);
}

double BetaArch::forward(double x) const {
  const double a = 0.5 + x / width_mm, b = 0.5 - x / width_mm;
  return a <= 0 || b <= 0 ? 0.0 : constant() * depth_mm * std::pow(a * b, exponent);
}

Vec2 BetaArch::at(double t) const {
  const double x = 0.5 * width_mm * std::sin(t);
  return {x, depth_mm * std::pow(std::max(std::cos(t), 0.0), 2 * exponent)};
}

double BetaArch::length(double x_from, double x_to) const {
  const auto angle = [&](double x) { return std::asin(std::clamp(2 * x / width_mm, -1.0, 1.0)); };
  const auto speed = [&](double t) {
    const double c = std::max(std::cos(t), 0.0);
    const double dx = 0.5 * width_mm * c, dy = 2 * exponent * depth_mm * std::pow(c, 2 * exponent - 1) * std::sin(t);
    return std::sqrt(dx * dx + dy * dy);
  };
  constexpr int kPanels = 20000;
  const double a = angle(x_from), h = (angle(x_to) - a) / kPanels;
  double sum = speed(a) + speed(a + kPanels * h);
  for (int i = 1; i < kPanels; ++i) sum += (i % 2 ? 4 : 2) * speed(a + i * h);
  return sum * h / 3;
}

double BetaArch::area() const {
  // W D 4^e B(1 + e, 1 + e), the complete beta function by the gamma function.
  const double g = std::tgamma(1 + exponent);
  return constant() * width_mm * depth_mm * g * g / std::tgamma(2 + 2 * exponent);
}

ArchLine::ArchLine(std::vector<Vec2> points) : points_(std::move(points)) {
  assert(points_.size() >= 2);
  along_.push_back(0);
  for (std::size_t i = 1; i < points_.size(); ++i)
    along_.push_back(along_.back() + (points_[i] - points_[i - 1]).norm());
}

ArchLine ArchLine::from_beta(const BetaArch& arch) {
  constexpr int kSteps = 500;
  std::vector<Vec2> points;
  // The last degrees, where the form turns straight back, are left to the continuation.
  for (int i = 0; i <= kSteps; ++i) {
    const Vec2 p = arch.at(radians(86.0) * i / kSteps);
    points.emplace_back(p.x(), arch.depth_mm - p.y());
  }
  return ArchLine(std::move(points));
}

ArchLine ArchLine::inside(double inward_mm) const {
  std::vector<Vec2> points;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const Vec2 d = (points_[std::min(i + 1, points_.size() - 1)] - points_[i ? i - 1 : 0]).normalized();
    const Vec2 p = points_[i] + inward_mm * Vec2(-d.y(), d.x());
    if (p.x() >= 0) points.push_back(p);
  }
  return ArchLine(std::move(points));
}

std::size_t ArchLine::segment(double s, std::size_t first, std::size_t last) const {
  if (first == last) return first;
  const auto begin = along_.begin() + static_cast<std::ptrdiff_t>(first);
  const auto after = std::upper_bound(begin + 1, along_.begin() + static_cast<std::ptrdiff_t>(last) + 1, s);
  return static_cast<std::size_t>(after - along_.begin()) - 1;
}

Vec2 ArchLine::on_segment(std::size_t i, double s) const {
  return points_[i] + (s - along_[i]) * (points_[i + 1] - points_[i]) / (along_[i + 1] - along_[i]);
}

Vec2 ArchLine::direction(double s) const {
  const double h = 0.5;
  return (at(s + h) - at(s - h)).normalized();
}

double ArchLine::after_chord(double s, double chord) const {
  const Vec2 from = at(s);
  double low = s, high = s + chord;
  while ((at(high) - from).norm() < chord) high += 0.5 * chord;
  std::size_t first = segment(low, 0, points_.size() - 2), last = segment(high, first, points_.size() - 2);
  for (;;) {
    const double mid = 0.5 * (low + high);
    if (mid <= low || mid >= high) break;  // neighbouring numbers
    const std::size_t i = segment(mid, first, last);
    const bool short_of = (on_segment(i, mid) - from).norm() < chord;
    (short_of ? low : high) = mid;
    (short_of ? first : last) = i;
  }
  return 0.5 * (low + high);
}

double ArchLine::nearest(const Vec2& p) const {
  double best = 0, least = 1e300;
  for (std::size_t i = 0; i + 1 < points_.size(); ++i) {
    const Vec2 d = points_[i + 1] - points_[i];
    const double upper = i + 2 == points_.size() ? 1e3 : 1.0;
    const double t = std::clamp((p - points_[i]).dot(d) / d.squaredNorm(), 0.0, upper);
    const double distance = (points_[i] + t * d - p).squaredNorm();
    if (distance < least) {
      least = distance;
      best = along_[i] + t * d.norm();
    }
  }
  return best;
}

}  // namespace intercusp

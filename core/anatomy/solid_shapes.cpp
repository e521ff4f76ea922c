#include "anatomy/solid_shapes.h"

#include <algorithm>
#include <cmath>

#include "anatomy/smooth.h"

namespace intercusp {

namespace {

/// About the distance to an ellipsoid of these half axes about the origin.
double beyond_ellipsoid(const Vec3& d, const Vec3& radii) {
  const Vec3 q = d.cwiseQuotient(radii);
  const double k = q.norm(), slope = q.cwiseQuotient(radii).norm();
  return slope < 1e-9 ? -radii.minCoeff() : k * (k - 1) / slope;
}

}  // namespace

double Ellipsoid::value(const Vec3& p) const {
  return beyond_ellipsoid(axes_.transpose() * (p - centre_), radii_);
}

Box Ellipsoid::box() const {
  const Vec3 reach = (axes_.cwiseAbs2() * radii_.cwiseAbs2()).cwiseSqrt();
  return Box(Vec3(centre_ - reach), Vec3(centre_ + reach));
}

Tube::Tube(const std::vector<TubeKnot>& knots, const Vec3& up, double cap_mm) : cap_mm_(cap_mm) {
  constexpr int kPieces = 6;
  const std::size_t last = knots.size() - 1;
  const auto knot = [&](std::size_t i, int by) {
    const auto k =
        std::clamp(static_cast<std::ptrdiff_t>(i) + by, std::ptrdiff_t{0}, static_cast<std::ptrdiff_t>(last));
    return knots[static_cast<std::size_t>(k)];
  };
  const auto size = [](const TubeKnot& k) { return Vec2(k.across, k.upward); };
  for (std::size_t i = 0; i < last; ++i)
    for (int piece = 0; piece < kPieces + (i + 1 == last ? 1 : 0); ++piece) {
      const double t = static_cast<double>(piece) / kPieces;
      const TubeKnot a = knot(i, -1), b = knot(i, 0), c = knot(i, 1), d = knot(i, 2);
      const Vec2 half = between_knots<Vec2>(size(a), size(b), size(c), size(d), t);
      stations_.push_back({between_knots<Vec3>(a.at, b.at, c.at, d.at, t), Vec3::UnitZ(), Vec3::UnitX(), Vec3::UnitY(),
                           half.x(), half.y()});
    }
  for (std::size_t i = 0; i < stations_.size(); ++i) {
    Station& s = stations_[i];
    s.along = (stations_[std::min(i + 1, stations_.size() - 1)].at - stations_[i == 0 ? 0 : i - 1].at).normalized();
    s.across = up.cross(s.along).normalized();
    s.upward = s.along.cross(s.across);
    const Vec3 reach = Vec3::Constant(std::max({s.half_across, s.half_upward, cap_mm}));
    box_.extend(Vec3(s.at - reach));
    box_.extend(Vec3(s.at + reach));
  }
}

double Tube::value(const Vec3& p) const {
  double least = 1e30, at = 0;
  std::size_t best = 0;
  for (std::size_t i = 0; i + 1 < stations_.size(); ++i) {
    const Vec3 d = stations_[i + 1].at - stations_[i].at;
    const double t = std::clamp((p - stations_[i].at).dot(d) / d.squaredNorm(), 0.0, 1.0);
    const double square = (p - stations_[i].at - t * d).squaredNorm();
    if (square >= least) continue;
    least = square;
    at = t;
    best = i;
  }
  const Station &a = stations_[best], &b = stations_[best + 1];
  const auto mix = [at](const auto& from, const auto& to) { return from + at * (to - from); };
  const Vec3 d = p - Vec3(mix(a.at, b.at));
  const Vec3 local(d.dot(Vec3(mix(a.across, b.across))), d.dot(Vec3(mix(a.upward, b.upward))),
                   d.dot(Vec3(mix(a.along, b.along))));
  const bool end = (best == 0 && at == 0) || (best + 2 == stations_.size() && at == 1);
  const double across = mix(a.half_across, b.half_across), upward = mix(a.half_upward, b.half_upward);
  if (end) return beyond_ellipsoid(local, Vec3(across, upward, cap_mm_));
  return beyond_ellipsoid(Vec3(local.x(), local.y(), 0), Vec3(across, upward, 1e6));
}

Sheet::Sheet(const SheetForm& form) : f_(form), normal_(form.e1.cross(form.e2)) {
  const std::size_t n = f_.outline.size();
  const int pieces = f_.smooth ? 5 : 1;
  for (std::size_t i = 0; i < n; ++i)
    for (int piece = 0; piece < pieces; ++piece)
      rim_.push_back(between_knots<Vec2>(f_.outline[(i + n - 1) % n], f_.outline[i], f_.outline[(i + 1) % n],
                                         f_.outline[(i + 2) % n], static_cast<double>(piece) / pieces));
  low_ = high_ = rim_.front();
  for (const Vec2& q : rim_) {
    low_ = low_.cwiseMin(q);
    high_ = high_.cwiseMax(q);
  }
  const auto& b = f_.bend;
  for (int i = 0; i <= 4; ++i)
    for (int j = 0; j <= 4; ++j) {
      const double u = low_.x() + 0.25 * i * (high_.x() - low_.x()), v = low_.y() + 0.25 * j * (high_.y() - low_.y());
      const double h = b[0] + b[1] * u + b[2] * v + b[3] * u * u + b[4] * u * v + b[5] * v * v;
      const Vec3 at = f_.origin + u * f_.e1 + v * f_.e2 + h * normal_;
      const double half = 0.5 * std::max(f_.thick[0] + f_.thick[1] * u + f_.thick[2] * v, f_.thinnest_mm) + 1;
      box_.extend(Vec3(at - Vec3::Constant(half)));
      box_.extend(Vec3(at + Vec3::Constant(half)));
    }
}

double Sheet::outside_outline(const Vec2& q) const {
  double square = 1e30;
  bool inside = false;
  for (std::size_t i = 0, j = rim_.size() - 1; i < rim_.size(); j = i++) {
    const Vec2 &a = rim_[i], &b = rim_[j];
    const Vec2 e = b - a, w = q - a;
    const double t = std::clamp(w.dot(e) / e.squaredNorm(), 0.0, 1.0);
    square = std::min(square, (w - t * e).squaredNorm());
    if ((a.y() > q.y()) != (b.y() > q.y()) && q.x() < e.x() * (q.y() - a.y()) / e.y() + a.x()) inside = !inside;
  }
  return inside ? -std::sqrt(square) : std::sqrt(square);
}

double Sheet::value(const Vec3& p) const {
  const Vec3 d = p - f_.origin;
  const double u = d.dot(f_.e1), v = d.dot(f_.e2);
  const auto& b = f_.bend;
  // The bend is followed only as far as the outline reaches, so that it cannot come back far away from it.
  const double cu = std::clamp(u, low_.x() - 4, high_.x() + 4), cv = std::clamp(v, low_.y() - 4, high_.y() + 4);
  const double h = b[0] + b[1] * cu + b[2] * cv + b[3] * cu * cu + b[4] * cu * cv + b[5] * cv * cv;
  const double slope_u = b[1] + 2 * b[3] * cu + b[4] * cv, slope_v = b[2] + b[4] * cu + 2 * b[5] * cv;
  const double half = 0.5 * std::max(f_.thick[0] + f_.thick[1] * cu + f_.thick[2] * cv, f_.thinnest_mm);
  const double across = (std::abs(d.dot(normal_) - h) - half) / std::sqrt(1 + slope_u * slope_u + slope_v * slope_v);
  // Where the answer is far beyond anything that is looked for, the outline need not be walked.
  constexpr double kFar = 8;
  if (across > kFar) return across;
  const double beside = std::max({low_.x() - u, u - high_.x(), low_.y() - v, v - high_.y()});
  if (beside > kFar) return beside;
  return smooth_max(outside_outline(Vec2(u, v)), across, f_.edge_mm);
}

Hull::Hull(const std::vector<Plane>& planes, double edge_mm, const Box& box) : edge_mm_(edge_mm), box_(box) {
  for (const Plane& plane : planes) {
    normal_.push_back(plane.outward.normalized());
    offset_.push_back(normal_.back().dot(plane.through));
  }
}

double Hull::value(const Vec3& p) const {
  double result = -1e3;
  for (std::size_t i = 0; i < normal_.size(); ++i)
    result = smooth_max(result, normal_[i].dot(p) - offset_[i], edge_mm_);
  return result;
}

std::vector<Hull::Plane> Hull::moved_inwards(std::vector<Plane> planes, const std::vector<double>& by_mm) {
  for (std::size_t i = 0; i < planes.size(); ++i) planes[i].through -= by_mm[i] * planes[i].outward.normalized();
  return planes;
}

double Joined::value(const Vec3& p) const {
  return smooth_min(a_->value(p), b_->value(p), blend_mm_);
}

double RoundBox::value(const Vec3& p) const {
  const Vec3 half = 0.5 * (high_ - low_) - Vec3::Constant(edge_mm_);
  const Vec3 d = (p - 0.5 * (low_ + high_)).cwiseAbs() - half;
  return d.cwiseMax(0.0).norm() + std::min(d.maxCoeff(), 0.0) - edge_mm_;
}

}  // namespace intercusp

#include "anatomy/solid_shapes.h"

#include <algorithm>
#include <cmath>

#include "anatomy/smooth.h"

namespace intercusp {

double Rod::value(const Vec3& p) const {
  const Vec3 along = to - from;
  const double t = std::clamp((p - from).dot(along) / along.squaredNorm(), 0.0, 1.0);
  return (p - from - t * along).norm() - (radius_from + t * (radius_to - radius_from));
}

double RoundBox::value(const Vec3& p) const {
  const Vec3 half = 0.5 * (high - low) - Vec3::Constant(edge_radius);
  const Vec3 d = (p - 0.5 * (low + high)).cwiseAbs() - half;
  return d.cwiseMax(0.0).norm() + std::min(d.maxCoeff(), 0.0) - edge_radius;
}

double Ellipsoid::value(const Vec3& p) const {
  const Vec3 q = (p - centre).cwiseQuotient(radii);
  const double k = q.norm(), slope = q.cwiseQuotient(radii).norm();
  return slope < 1e-9 ? -radii.minCoeff() : k * (k - 1) / slope;
}

double MirroredSolid::value(const Vec3& p) const {
  const Vec3 q(std::abs(p.x()), p.y(), p.z());
  double result = 1e3;
  for (const Rod& rod : rods) result = smooth_min(result, rod.value(q), blend_mm);
  for (const RoundBox& b : boxes) result = smooth_min(result, b.value(q), blend_mm);
  for (const Ellipsoid& e : ellipsoids) result = smooth_min(result, e.value(q), blend_mm);
  for (const Ellipsoid& hollow : hollows) result = smooth_max(result, -hollow.value(q), 0.5 * blend_mm);
  return result;
}

Box MirroredSolid::box() const {
  Box all;
  const auto add = [&](const Vec3& low, const Vec3& high) {
    all.extend(Vec3(low - Vec3::Constant(blend_mm)));
    all.extend(Vec3(high + Vec3::Constant(blend_mm)));
  };
  for (const Rod& rod : rods) {
    const Vec3 r = Vec3::Constant(std::max(rod.radius_from, rod.radius_to));
    add(rod.from.cwiseMin(rod.to) - r, rod.from.cwiseMax(rod.to) + r);
  }
  for (const RoundBox& b : boxes) add(b.low, b.high);
  for (const Ellipsoid& e : ellipsoids) add(e.centre - e.radii, e.centre + e.radii);
  all.extend(Vec3(-all.max().x(), all.min().y(), all.min().z()));
  return all;
}

}  // namespace intercusp

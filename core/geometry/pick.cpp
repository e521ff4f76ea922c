#include "geometry/pick.h"

namespace intercusp {
namespace {

/// Weights of the corners at a point in the plane of abc; the first corner alone for a triangle without area.
Vec3 barycentric(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p) {
  const Vec3 normal = (b - a).cross(c - a);
  const double whole = normal.squaredNorm();
  if (whole == 0) return Vec3::UnitX();
  const double v = normal.dot((p - a).cross(c - a)) / whole, w = normal.dot((b - a).cross(p - a)) / whole;
  return {1 - v - w, v, w};
}

}  // namespace

std::optional<Picked> pick(const Surface& surface, const Pose& pose, const Vec3& origin, const Vec3& direction,
                           double limit_mm) {
  if (!(direction.squaredNorm() > 0)) return std::nullopt;
  const Pose own_from_common = pose.inverse();
  const Vec3 from = own_from_common * origin, along = (own_from_common.linear() * direction).normalized();
  RayHit hit;
  if (!surface.bvh().ray(surface.mesh(), from, along, limit_mm, hit)) return std::nullopt;
  const Mesh& mesh = surface.mesh();
  const Vec3 a = mesh.corner(hit.triangle, 0), b = mesh.corner(hit.triangle, 1), c = mesh.corner(hit.triangle, 2);
  Picked picked;
  picked.t = hit.t;
  picked.point = origin + hit.t * direction.normalized();
  picked.normal = pose.linear() * surface.scaled_normal(hit.triangle).stableNormalized();
  picked.triangle = hit.triangle;
  picked.barycentric = barycentric(a, b, c, from + hit.t * along);
  return picked;
}

}  // namespace intercusp

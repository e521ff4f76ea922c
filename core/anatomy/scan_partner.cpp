#include "anatomy/scan_partner.h"

namespace intercusp {

namespace {

bool on_open_border(const Surface& scan, const ClosestPoint& c) {
  if (c.feature >= 6) return false;
  const auto k = static_cast<std::size_t>(c.feature % 3);
  if (c.feature >= 3) return scan.border()[c.triangle][k];
  return scan.topology().border_vertex[scan.mesh().triangles[c.triangle][k]];
}

}  // namespace

bool find_partner(const Surface& scan, const Vec3& p, const Vec3& normal, double reach_mm, double least_cosine,
                  std::uint32_t& hint, ScanPartner& out) {
  ClosestPoint c;
  if (!scan.bvh().closest_from(scan.mesh(), p, reach_mm, hint, c)) return false;
  hint = c.triangle;
  const Vec3 n = scan.scaled_normal(c.triangle);
  const double length = n.norm();
  if (!(length > 0) || n.dot(normal) < least_cosine * length || on_open_border(scan, c)) return false;
  out = {c.point, n / length, c.distance_mm};
  return true;
}

}  // namespace intercusp

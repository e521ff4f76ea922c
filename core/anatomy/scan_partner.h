// For points of a model, the place of a scan that they belong to.
#pragma once

#include "geometry/surface.h"

namespace intercusp {

struct ScanPartner {
  Vec3 at = Vec3::Zero(), normal = Vec3::UnitZ();  ///< scan frame; unit normal of the triangle
  double away_mm = 0;
};

/// Nearest place of the scan to `p`, when it lies within `reach_mm`, faces like `normal` (unit) to the cosine given,
/// and is not the open border, where the nearest place only says that the scan ends. `hint`: a triangle near by, the
/// answer's afterwards. O(log n) typical.
bool find_partner(const Surface& scan, const Vec3& p, const Vec3& normal, double reach_mm, double least_cosine,
                  std::uint32_t& hint, ScanPartner& out);

}  // namespace intercusp

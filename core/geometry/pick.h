#pragma once

#include <optional>

#include "geometry/surface.h"

namespace intercusp {

/// Where a ray first meets a posed surface, common frame, mm.
struct Picked {
  double t = 0;  ///< along the ray
  Vec3 point = Vec3::Zero();
  Vec3 normal = Vec3::UnitZ();  ///< unit, of the triangle, outward
  std::uint32_t triangle = 0;
  Vec3 barycentric = Vec3::Zero();  ///< weights of the triangle's corners, sum 1
};

/// Nearest hit of the ray (any non-zero direction) with t in [0, limit_mm]; empty if it misses. O(log n) typical.
std::optional<Picked> pick(const Surface& surface, const Pose& pose, const Vec3& origin, const Vec3& direction,
                           double limit_mm);

}  // namespace intercusp

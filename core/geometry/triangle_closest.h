#pragma once

#include "geometry/types.h"

namespace intercusp {

/// A point of a triangle and the feature it lies on: 0..2 corner, 3..5 edge (k to k+1), 6 face.
struct TrianglePoint {
  Vec3 point = Vec3::Zero();
  double distance_sq = 0;
  int feature = 6;
};

/// The point of triangle abc closest to p. Handles triangles without area. O(1).
/// Regions after Ericson 2005, "Real-Time Collision Detection", section 5.1.5.
TrianglePoint closest_on_triangle(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p);

/// Parameter in [0, 1] of the point of segment ab closest to p.
double closest_on_segment(const Vec3& a, const Vec3& b, const Vec3& p);

}  // namespace intercusp

#pragma once

#include "geometry/surface.h"

namespace intercusp {

/// A point of a surface moved onto the feature near it, in the surface's own frame, mm.
struct Snapped {
  Vec3 point = Vec3::Zero();
  bool moved = false;  ///< false: no feature within the radius, `point` is the surface point nearest to the start
};

/// Cusp tip: the highest point along `up` (unit) that climbing from `start` reaches within `radius_mm`. Vertices first,
/// then the top of a quadric through the vertices around (kept only where it is a top and lies among them). A climb
/// that ends on the rim of the radius or on an open border found no tip. O(v log n) in the vertices v within the
/// radius.
Snapped snap_to_tip(const Surface& surface, const Vec3& start, const Vec3& up, double radius_mm);

/// Ridge or edge: the highest point along `up` on the section across `along` (unit, the direction the ridge runs in)
/// through `start`, within `radius_mm` of it. O(k log n) for k cut triangles.
Snapped snap_to_ridge(const Surface& surface, const Vec3& start, const Vec3& up, const Vec3& along, double radius_mm);

}  // namespace intercusp

#pragma once

#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// A line of the section, in the common frame, mm.
struct Polyline {
  std::vector<Vec3> points;  ///< a closed line does not repeat its first point
  bool closed = false;
};

/// Cuts a posed surface with the plane through `point` with normal `normal` (any non-zero length). Seen against the
/// normal (the normal points at the viewer) the material lies to the left of every line. A vertex on the plane counts
/// as above it, so lines never branch on a proper mesh; they end at open borders. Lines come in the order of their
/// first triangle. O(k log n) for k cut triangles, plus the sort of k.
std::vector<Polyline> section(const Surface& surface, const Pose& pose, const Vec3& point, const Vec3& normal);

}  // namespace intercusp

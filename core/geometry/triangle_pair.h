#pragma once

#include <array>
#include <optional>

#include "geometry/types.h"

namespace intercusp {

using Corners = std::array<Vec3, 3>;

/// Do two triangles share a point (touching counts, coplanar ones included)? Exact for the coordinates given.
/// A triangle without area meets nothing. O(1).
bool triangles_intersect(const Corners& a, const Corners& b);

struct Segment {
  Vec3 from = Vec3::Zero(), to = Vec3::Zero();
};

/// The segment that two triangles share, to rounding; both ends equal where they touch in a point. Empty when they do
/// not meet or are coplanar (then they share an area).
std::optional<Segment> shared_segment(const Corners& a, const Corners& b);

/// Nearest points of two triangles, |on_first - on_second| = distance_mm.
struct TriangleGap {
  double distance_mm = 0;
  Vec3 on_first = Vec3::Zero(), on_second = Vec3::Zero();
};

/// Distance of two triangles: 0 and a shared point where they intersect. O(1).
TriangleGap triangle_distance(const Corners& a, const Corners& b);

/// Whether two triangles that do not intersect come within limit_mm: sooner told than by how much.
bool within_distance(const Corners& a, const Corners& b, double limit_mm);

}  // namespace intercusp

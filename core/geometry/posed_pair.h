#pragma once

#include <array>
#include <vector>

#include "geometry/surface.h"
#include "geometry/triangle_pair.h"

namespace intercusp {

/// Two bodies in the poses asked, with their vertices brought into the common frame in double. Index 0 is the first
/// body, 1 the second. Refers to the surfaces: keep them alive.
struct PosedPair {
  std::array<const Surface*, 2> surface;
  std::array<Pose, 2> pose;
  std::array<Pose, 2> other_from_own;       ///< from a body's own frame to that of the other body
  std::array<std::vector<Vec3>, 2> points;  ///< vertices in the common frame
  /// Ties are broken as if body b had moved by shift[b] * (e, e^2, e^3) against the other one; swapping the bodies
  /// swaps the signs.
  std::array<int, 2> shift{1, -1};

  Corners corners(std::size_t body, std::uint32_t triangle) const;
};

/// O(n).
PosedPair make_posed_pair(const Surface& first, const Pose& first_pose, const Surface& second, const Pose& second_pose);
/// The same pair in other poses; a body that stays where it is costs nothing.
void move_posed_pair(PosedPair& pair, const Pose& first_pose, const Pose& second_pose);

/// Some pair of points of the two bodies, to begin a search for the nearest from; infinitely far if there is none.
TriangleGap any_points(const PosedPair& pair);

/// Nearest points of two bodies that do not intersect, none farther than `bound` which is a known pair of points.
/// O(log n) typical.
TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound);

}  // namespace intercusp

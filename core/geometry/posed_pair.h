#pragma once

#include <array>
#include <vector>

#include "geometry/surface.h"
#include "geometry/triangle_pair.h"

namespace intercusp {

/// Two bodies in the poses asked. Index 0 is the first body, 1 the second. Refers to the surfaces: keep them alive.
struct PosedPair {
  std::array<const Surface*, 2> surface;
  std::array<Pose, 2> pose;
  std::array<Pose, 2> other_from_own;  ///< from a body's own frame to that of the other body
  /// Ties are broken as if body b had moved by shift[b] * (e, e^2, e^3) against the other one; swapping the bodies
  /// swaps the signs.
  std::array<int, 2> shift{1, -1};

  /// A vertex in the common frame, moved there in double: always the same number, and only where one is needed, so that
  /// a frame costs nothing for vertices that nothing comes near.
  Vec3 point(std::size_t body, std::uint32_t vertex) const {
    return pose[body] * surface[body]->mesh().positions[vertex].cast<double>();
  }
  Corners corners(std::size_t body, std::uint32_t triangle) const;
};

/// O(1), and O(n) where the bodies share their first vertices to the last bit.
PosedPair make_posed_pair(const Surface& first, const Pose& first_pose, const Surface& second, const Pose& second_pose);
/// The same pair in other poses.
void move_posed_pair(PosedPair& pair, const Pose& first_pose, const Pose& second_pose);

/// Some pair of points of the two bodies, to begin a search for the nearest from; infinitely far if there is none.
TriangleGap any_points(const PosedPair& pair);

/// The two triangles that hold the nearest points; none yet where `first` is kNoTriangle.
struct NearestTriangles {
  std::uint32_t first = kNoTriangle, second = kNoTriangle;
};

/// Nearest points of two bodies that do not intersect, none farther than `bound` which is a known pair of points.
/// `kept` may name the nearest triangles of another pose: then the same answer is found sooner, the more so the nearer
/// that pose is; it receives those of this one. Points nearer than `share` of the distance found less `off_mm` are
/// never passed over. O(log n) typical.
TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound, NearestTriangles* kept = nullptr, double share = 1,
                           double off_mm = 0);

}  // namespace intercusp

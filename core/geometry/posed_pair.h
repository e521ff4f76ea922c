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

/// Box of a node of `own` hierarchy as centre and half size in another frame. Never too small.
struct MovedBox {
  Vec3 centre, half;
};

inline MovedBox moved_box(const Eigen::AlignedBox3f& box, const Pose& pose, const Mat3& magnitude) {
  const Vec3 low = box.min().cast<double>(), high = box.max().cast<double>();
  const Vec3 half = magnitude * (0.5 * (high - low));
  return {pose * Vec3(0.5 * (low + high)), half + Vec3::Constant(1e-12 * (1 + half.maxCoeff()))};
}

inline double distance_sq(const MovedBox& a, const Eigen::AlignedBox3f& b) {
  const Vec3 low = b.min().cast<double>(), high = b.max().cast<double>();
  const Vec3 apart = (a.centre - 0.5 * (low + high)).cwiseAbs() - a.half - 0.5 * (high - low);
  return apart.cwiseMax(0.0).squaredNorm();
}

/// Calls visit(leaf of first, leaf of second) for every pair of leaves whose boxes may be within `margin_mm`.
template <class Visit>
void visit_close_leaves(const PosedPair& pair, double margin_mm, Visit visit) {
  const std::vector<Bvh::Node>&a = pair.surface[0]->bvh().nodes(), &b = pair.surface[1]->bvh().nodes();
  if (a.empty() || b.empty()) return;
  const Pose& pose = pair.other_from_own[0];
  const Mat3 magnitude = pose.linear().cwiseAbs();
  const double margin = margin_mm + 1e-9, limit_sq = margin * margin;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> open{{0, 0}};
  while (!open.empty()) {
    const auto [i, j] = open.back();
    open.pop_back();
    const MovedBox box = moved_box(a[i].box, pose, magnitude);
    if (distance_sq(box, b[j].box) > limit_sq) continue;
    if (a[i].count > 0 && b[j].count > 0) {
      visit(a[i], b[j]);
    } else if (b[j].count > 0 || (a[i].count == 0 && a[i].box.sizes().sum() >= b[j].box.sizes().sum())) {
      open.push_back({a[i].first + 1, j});
      open.push_back({a[i].first, j});
    } else {
      open.push_back({i, b[j].first + 1});
      open.push_back({i, b[j].first});
    }
  }
}

/// Nearest points of two bodies that do not intersect, none farther than `bound` which is a known pair of points.
/// O(log n) typical.
TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound);

}  // namespace intercusp

#pragma once

#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// Signed distances to a surface at the nodes of a grid, in the surface's own frame: for searches that ask very often
/// and can bear an error of a tenth of the spacing or so. Between nodes trilinear.
class DistanceGrid {
 public:
  DistanceGrid() = default;
  /// Over `region`; nodes farther than `limit_mm`, and those whose side is unknown, hold nothing. O(nodes x log n), on
  /// two threads where there are two.
  DistanceGrid(const Surface& surface, const Box& region, double spacing_mm, double limit_mm);

  /// Distance and its gradient; false outside the region and where one of the eight nodes around holds nothing.
  bool at(const Vec3& p, double& distance_mm, Vec3& gradient) const;

 private:
  float node(long i, long j, long k) const {
    return distance_[static_cast<std::size_t>((k * count_[1] + j) * count_[0] + i)];
  }
  Vec3 low_ = Vec3::Zero();
  double spacing_ = 1;
  std::array<long, 3> count_{0, 0, 0};
  std::vector<float> distance_;
};

}  // namespace intercusp

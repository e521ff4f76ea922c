#pragma once

#include "geometry/posed_pair.h"

namespace intercusp {

/// How far the nodes of a body reach along a direction, in double, each worked out when it is first asked for. Where
/// two faces lie opposite each other at nearly the same distance all over, this alone tells their nodes apart: what
/// float bounds leave open there is far more than how much the distances differ.
class ReachAlong {
 public:
  /// Nodes of this level and below are worked out: 64 triangles at most.
  static constexpr std::uint32_t kHighest = 2;

  /// `direction`: unit, common frame.
  ReachAlong(const PosedPair& pair, std::size_t body, const Vec3& direction);

  /// The greatest coordinate of the node's triangles along the direction; `place` of level kHighest at most. O(1) when
  /// known, O(triangles below) the first time.
  double of(Bvh::Place place);

 private:
  double of_block(std::uint32_t block) const;

  const Bvh& bvh_;
  Vec3 direction_;  ///< in the body's own frame
  double offset_;
  std::array<std::vector<double>, kHighest + 1> known_;  ///< per level; no number while unknown
};

}  // namespace intercusp

#pragma once

#include "geometry/close_pairs.h"
#include "geometry/contact.h"
#include "geometry/vertex_gaps.h"

namespace intercusp {

/// The contact query of two bodies, kept while one moves against the other. The last answer only says where to look
/// first: every answer is that of `find_contact`, to the last bit. Refers to the surfaces: keep them alive.
class PairQuery {
 public:
  PairQuery(const Surface& first, const Surface& second);

  /// The contact in these poses. Cost as `find_contact`; a small move from the last call costs a fraction of it.
  ContactResult at(const Pose& first_pose, const Pose& second_pose, const ContactSettings& settings);

 private:
  void pose(const Pose& first_pose, const Pose& second_pose);
  const std::vector<BlockPair>& close_blocks(double near_mm);
  double moved_since_listing() const;

  PosedPair pair_;
  bool posed_ = false;
  std::array<VertexGaps, 2> gaps_;
  NearestTriangles nearest_;
  std::vector<BlockPair> listed_;  ///< all that come within listed_within_ in the relative pose listed_at_
  Pose listed_at_ = Pose::Identity();
  double listed_within_ = -1;
};

}  // namespace intercusp

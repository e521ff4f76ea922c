#pragma once

#include <vector>

#include "app/errands/errand_desk.h"

namespace intercusp {

/// Teeth that pass through each other on the way of the plan: asked for when it is looked at and rests.
class WayWatch {
 public:
  /// `c` in pieces; `version` names the plan as it stands. One question at a time.
  void refresh(ErrandDesk& desk, const Case& c, const Plan* plan, std::uint64_t version);
  const std::vector<PathOverlap>& overlaps() const { return overlaps_; }
  /// What is listed belongs to this version.
  bool of(std::uint64_t version) const { return version == version_; }
  void forget();

 private:
  std::vector<PathOverlap> overlaps_;
  std::uint64_t version_ = ~0ull, age_ = 0;
  bool asked_ = false;
};

}  // namespace intercusp

#pragma once

#include <string>
#include <vector>

#include "app/errands/errand_desk.h"

namespace intercusp {

/// Gaps, steps and screws where plates go, in the position that is shown: asked for when it is looked at and rests.
class PlateWatch {
 public:
  /// `c` in pieces; `version` names the position. One question at a time.
  void refresh(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses, std::uint64_t version);
  /// Empty where no plate site is known.
  const std::vector<PlateGap>& gaps() const { return gaps_; }
  /// What is listed belongs to this position.
  bool of(std::uint64_t version) const { return version == version_; }
  void forget();

 private:
  std::vector<PlateGap> gaps_;
  std::uint64_t version_ = ~0ull, age_ = 0;
  bool asked_ = false;
};

}  // namespace intercusp

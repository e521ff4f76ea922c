#pragma once

#include <string>
#include <vector>

#include "casebook/cut_case.h"
#include "casebook/document.h"
#include "geometry/cut_line.h"

namespace intercusp {

/// A cut of the plan where it would run, before anything is sawn; patient frame at rest.
struct LaidCut {
  Osteotomy cut;
  std::vector<CutClearance> clearances;  ///< nearest first
  std::vector<CutLevel> levels;
  std::vector<CutLineStretch> lines;  ///< on the bone
  std::string trouble;                ///< why it cannot be made, as far as that shows without sawing
};

/// The cuts of a plan as lines on the bone, with what they come near: followed while a hand drags one of them.
class LaidCuts {
 public:
  /// Lays again what changed. O(vertices of the bone) for each cut that did.
  void refresh(const Document& document, const Plan* plan);
  const std::vector<LaidCut>& all() const { return cuts_; }
  const LaidCut* find(CutKind kind) const;
  /// The landmarks that cuts are laid by, root tips included; patient frame at rest.
  const PointMap& points() const { return laid_by_; }
  void forget() { *this = LaidCuts(); }

 private:
  static LaidCut laid(const Case& c, const Osteotomy& cut);
  std::uint64_t revision_ = ~0ull;
  std::string plan_;
  std::vector<SurfacePtr> surfaces_;  ///< that the lines lie on
  std::vector<std::pair<std::string, Vec3>> points_;
  LandmarkSet tips_;  ///< of roots, as the surfaces and points give them
  PointMap laid_by_;
  std::vector<LaidCut> cuts_;
};

}  // namespace intercusp

#pragma once

#include "casebook/case.h"

namespace intercusp {

/// The movement of a segment that the panels edit: its last entry in the plan (a zero movement when it has none).
struct EditedMovement {
  Movement movement;
  std::string about;
  Vec3 pivot = Vec3::Zero();  ///< where the pivot stands before the entry, patient frame
  SegmentPoses before;        ///< poses before the entry
  bool exists = false;
  int earlier = 0;  ///< entries of this segment before it
};

/// `c`: with the plan's cuts made. Error when the segment cannot move or the pivot's landmark is missing.
Result<EditedMovement> edited_movement(const Case& c, const std::string& plan, const std::string& segment);

/// The case `c` with that entry set; `pieces` is the same case with the plan's cuts made. A plan named `plan` is made
/// when it does not exist ("A" when empty); its name is returned in `plan`.
Result<Case> with_movement(const Case& c, const Case& pieces, std::string& plan, const std::string& segment,
                           const Movement& movement, const std::string& about);

/// Removes a kind of cut, the cuts that need it, and the movements of pieces that are none then.
void take_cut_away(Plan& plan, CutKind kind);

/// The next free plan name: A, B, C, ...
std::string next_plan_name(const Case& c);

}  // namespace intercusp

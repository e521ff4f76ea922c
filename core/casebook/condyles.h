// What a plan does to the joints. It says where the plan puts the condyles, never where they will sit afterwards.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"
#include "surgery/joint_space.h"

namespace intercusp {

/// One side's condyle and ramus, between rest and the moment asked.
struct CondyleChange {
  bool right = true;
  Vec3 shift = Vec3::Zero();  ///< of the condyle's centre, patient frame, mm
  double turn_deg = 0;        ///< whole angle of its rotation
  Angles turned;              ///< that rotation in clinical words
  double flare_mm = 0;        ///< gonion against the condyle, outwards positive
  double torque_deg = 0;      ///< turn about the upright axis, front edge inwards positive
  JointSpaces before, after;  ///< empty where no fossa is there
};

/// For the sides whose condyle centre is placed. `c` as with_cuts gives it.
std::vector<CondyleChange> condyle_changes(const Case& c, const SegmentPoses& poses);

/// The same as a report, with the published values and what is not known.
nlohmann::json condyle_report(const Case& c, const SegmentPoses& poses);

}  // namespace intercusp

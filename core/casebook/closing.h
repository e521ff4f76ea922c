// The lower jaw turned about the hinge axis until something is reached.
#pragma once

#include "casebook/case.h"

namespace intercusp {

/// Two teeth that meet (0 where no landmark names the tooth), and where, patient frame.
struct Touch {
  std::string upper_body, lower_body;
  int upper_tooth = 0, lower_tooth = 0;
  Vec3 at = Vec3::Zero();
};

/// Every body of upper teeth against every body of lower teeth, pieces of a parted arch one by one. Keep the case
/// alive.
struct ArchPair {
  const Body *upper, *lower;
};
std::vector<ArchPair> arch_pairs(const Case& c);

struct ClosingGoal {
  enum class Until { contact, vertical, splint };
  Until until = Until::contact;
  double mm = 0;  ///< vertical: from the lower to the upper incisal edges along the occlusal frame's up, open positive;
                  ///< splint: least gap between the arches
  std::string axis = "condyles";
};

/// What a closing does.
struct ClosingResult {
  Closing closing;           ///< to append to the plan
  std::vector<Touch> first;  ///< what touches first on closing, several where they touch at once
  Vec3 incisors_moved = Vec3::Zero(), chin_moved = Vec3::Zero();  ///< 41/31 midpoint, Pog; patient frame
  bool chin_known = false;
};

/// The poses with the whole lower jaw turned open by this angle about the axis.
SegmentPoses lower_jaw_turned(SegmentPoses poses, const HingeAxis& axis, double open_deg);

/// Finds the turn. The way to the first contact begins wide open, so that jaws which overlap where they stand come
/// apart first, and is swept without gaps. `c` as with_cuts gives it. Error when nothing meets within 40 degrees, when
/// the vertical asked for lies beyond the first contact (names it), or when landmarks or arches are missing. O(log n)
/// some ten times for each pair of arch bodies.
Result<ClosingResult> find_closing(const Case& c, const SegmentPoses& poses, const ClosingGoal& goal);

/// The same closing with the axis somewhere else: how much depends on where it truly is.
struct ClosingVariant {
  std::string words, source;
  double back_mm = 0, up_mm = 0;  ///< of the axis, from the condyle's centre
  ClosingResult result;
};
/// One variant for each published centre of rotation. Variants that meet nothing are left out.
std::vector<ClosingVariant> closing_variants(const Case& c, const SegmentPoses& poses, const ClosingGoal& goal);

}  // namespace intercusp

// What an operation achieved, held against what was planned.
#pragma once

#include <string>
#include <vector>

#include "base/progress.h"
#include "casebook/case.h"

namespace intercusp {

/// Where one segment came to stand, in clinical words about the pivot of its movements (see pivot_point). Patient frame
/// of the planned case.
struct AchievedSegment {
  std::string segment, body;     ///< the body by which it was found
  double residual_mm = 0;        ///< root mean square of laying that body on its achieved surface
  Movement planned;              ///< from rest
  Movement achieved;             ///< from rest
  Movement difference;           ///< from the planned place to the achieved one
  double largest_mm = 0;         ///< the farthest that a point of the body stands from its planned place
  Pose pose = Pose::Identity();  ///< achieved, from rest
};

struct Achieved {
  std::string laid_on;     ///< the body on which both cases were laid: skull above the cut, or the upper teeth
  double residual_mm = 0;  ///< root mean square of that
  std::vector<AchievedSegment> segments;
  std::vector<std::string> not_compared;  ///< a sentence for each body that could not be found, with what to do
  SegmentPoses poses;                     ///< of every segment as achieved; where a segment was not found, as planned
};

/// Finds each segment of a planned case in the case that was scanned afterwards. Both are laid on each other by what
/// the operation left where it was: the skull where both have it, else the upper teeth, so that the bite alone is
/// compared. Each other dental or bone body of the plan is then laid on the body of that name (or of the body that it
/// was cut from): point-to-plane iterated closest points over the nearest 90 % of the pairs, begun from the landmarks
/// that both cases have on that jaw (three are enough), else from where the surfaces stand. `planned`: as with_cuts
/// gives it. Errors: nothing to lay the cases on, cancelled. Some seconds at 200,000 triangles a body.
Result<Achieved> find_achieved(const Case& planned, const SegmentPoses& poses, const Case& achieved,
                               const Progress& progress = Progress());

}  // namespace intercusp

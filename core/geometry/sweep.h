#pragma once

#include <optional>

#include "base/result.h"
#include "geometry/surface.h"

namespace intercusp {

/// How the second body moves, common frame: it turns about an axis through `through`, or slides.
struct Sweep {
  enum class Kind { turn, slide };
  Kind kind = Kind::slide;
  Vec3 direction = Vec3::UnitZ();  ///< unit: of the slide, or of the axis (right-handed turn)
  Vec3 through = Vec3::Zero();     ///< a point of the axis
  double limit = 0;                ///< how far at most: mm, or degrees

  /// The motion after `travel` mm or degrees.
  Pose after(double travel) const;
};

/// Where the moving body first comes within a micrometre of the other.
struct FirstContact {
  double travel = 0;  ///< mm or degrees
  double gap_mm = 0;  ///< in (0, 0.001]; 0 where the bodies touch from the beginning
  Vec3 on_first = Vec3::Zero(), on_second = Vec3::Zero();  ///< the touching points, common frame
};

/// First contact of `second` moving from `second_pose` against `first`; empty when there is none within the limit.
/// Conservative advancement: every step is so short that no pair of triangles can close its gap, so no earlier contact
/// is passed, also where it opens again at once. A body wholly inside the other one from the beginning is not noticed.
/// O(log n) typical a step, some ten steps. Error when the advance came to no end (a graze that goes on for ever): then
/// nothing is known, which is not the same as no contact. `nearest_now`: the nearest points in these poses, where they
/// are known already.
Result<std::optional<FirstContact>> first_contact(const Surface& first, const Pose& first_pose, const Surface& second,
                                                  const Pose& second_pose, const Sweep& sweep,
                                                  const TriangleGap* nearest_now = nullptr);

}  // namespace intercusp

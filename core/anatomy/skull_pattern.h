// How a patient's skull differs from the plain one that the bones are drawn in.
#pragma once

#include "anatomy/sample_jaws.h"

namespace intercusp {

/// The plain skull: symmetric, upper central edges at the origin, occlusal plane level, teeth in Class I; proportions
/// of an adult between the published means of women and men. In it Frankfort's horizontal rises forwards by this much
/// against the occlusal plane (9.3 +- 3.8 degrees, Downs 1948, from memory).
constexpr double kFrankfortTiltDeg = 5.5;

/// Bends plain space into the patient's. The teeth stay where the recipe has put them, so a retruded upper jaw means a
/// skull farther forward; whatever carries teeth follows them, whatever belongs to the joint follows the skull as one
/// rigid piece. All mm, patient axes.
struct SkullPattern {
  double skull_back = 0;  ///< of skull and condyles against the upper teeth
  double lower_back = 0;  ///< of the lower teeth and the body of the mandible against the upper teeth
  double chin_down = 0;   ///< of the lower border at the chin
  double chin_left = 0;   ///< of the chin and the front of the body
  double cant = 0;  ///< tangent of the roll of the skull against the arches, + patient's left side of the skull up

  static SkullPattern of(const JawRecipe& recipe);

  Vec3 plain_upper(const Vec3& patient) const;
  Vec3 plain_lower(const Vec3& patient) const;
  /// The other way round, to 1e-12 mm.
  Vec3 patient_upper(const Vec3& plain) const;
  Vec3 patient_lower(const Vec3& plain) const;
  /// Farthest that a point is moved.
  double reach_mm() const;
};

/// Forward and up of Frankfort's horizontal in the plain skull.
Vec3 frankfort_forward();
Vec3 frankfort_up();

}  // namespace intercusp

#pragma once

#include <optional>

#include "anatomy/landmarks.h"

namespace intercusp {

/// A plane by a point and a unit normal.
struct Plane {
  Vec3 point = Vec3::Zero();
  Vec3 normal = Vec3::UnitX();
};

/// The midsagittal plane of the skull: through N, its normal (to the patient's left) the mean direction of the skull's
/// left-right pairs (Po, Or and others where both sides exist). Empty without N or without a pair. O(landmarks).
std::optional<Plane> midsagittal_plane(const PointMap& points);

}  // namespace intercusp

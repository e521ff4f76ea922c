#pragma once

#include "anatomy/landmarks.h"

namespace intercusp {

/// The tooth nearest to a point of an arch by that arch's landmarks on crowns; 0 when none is near (6 mm). O(points).
int tooth_at(const PointMap& points, const Vec3& at, Jaw jaw);

}  // namespace intercusp

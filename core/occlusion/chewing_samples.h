#pragma once

#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

/// Points of an arch's chewing surfaces and edges, patient frame: vertices that face the other arch, within 6 mm of a
/// cusp, edge, groove or fossa that is placed. `towards` is the unit direction to the other arch. In the order of the
/// mesh. O(vertices x landmarks).
std::vector<Vec3> chewing_points_of(const PosedSurface& arch, const std::vector<Vec3>& marks, const Vec3& towards);

/// The first point in each cell of `step_mm`. O(n log n).
std::vector<Vec3> thinned(const std::vector<Vec3>& points, double step_mm);

/// The landmarks of a jaw's chewing surfaces.
std::vector<Vec3> chewing_marks(const PointMap& points, Jaw jaw);

}  // namespace intercusp

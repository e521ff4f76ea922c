#pragma once

#include <optional>

#include "occlusion/measure.h"

namespace intercusp {

/// Where a probe laid along f at the height of the upper edge touches the labial surface of the lower incisor: first
/// hit of a ray from in front, through `lower_edge` moved along u to the height of `upper_edge`. Patient frame. Empty
/// without a lower surface or frame, when the upper edge stands above the lower or below the gingival margin of
/// `lower_tooth`, and when the hit lies more than 6 mm from the lower edge along f (a hole in the scan). O(log n).
std::optional<Vec3> probe_lower_labial(const MeasureInput& input, const Vec3& upper_edge, const Vec3& lower_edge,
                                       int lower_tooth);

}  // namespace intercusp

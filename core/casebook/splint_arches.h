// The arches of a case in the poses asked, each jaw's in one mesh.
#pragma once

#include "casebook/case.h"

namespace intercusp {

/// All arches of a jaw, pieces too, patient frame. O(vertices).
Mesh arches_together(const Case& c, const SegmentPoses& poses, bool upper);

/// Of the same only the triangles that a painted zone of the case touches; pieces of an arch carry its zones.
/// O(vertices
/// * dabs of those zones).
Mesh painted_together(const Case& c, const SegmentPoses& poses, bool upper);

}  // namespace intercusp

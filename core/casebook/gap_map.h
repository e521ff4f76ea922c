#pragma once

#include "casebook/reports.h"

namespace intercusp {

/// All bodies of the pairs as one mesh in the patient frame, each vertex coloured by its signed gap to what it meets:
/// the diverging map from `band_mm` apart (blue) over touching (white) to 1 mm of overlap (brown). Vertices beyond the
/// band are grey. A body in several pairs takes its least gap. O(vertices).
Mesh gap_map(const Case& c, const SegmentPoses& poses, const std::vector<ContactPair>& pairs,
             const ContactSettings& settings);

}  // namespace intercusp

#pragma once

#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

/// Where the search for the seat begins: motions of the lower arch in the patient frame that lay its cusps, fossae and
/// embrasures on those they meet in Class I, shifted along either side by up to a full unit each way, each also 1.5
/// and 3 mm to either side; and where the arch stands. Without enough landmarks (three pairs that are not on one line):
/// places around where it stands. Needs the occlusal frame. O(1), some two hundred.
std::vector<Pose> settle_starts(const MeasureInput& input);

}  // namespace intercusp

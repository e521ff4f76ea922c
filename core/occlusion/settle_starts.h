#pragma once

#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

/// Motions of the lower arch in the patient frame that lay its cusps, fossae and embrasures on those they meet in Class
/// I, shifted along either side by up to a full unit each way, each also 1.5 and 3 mm to either side. Needs the
/// occlusal frame. None without three pairs that are not on one line. O(1), some two hundred.
std::vector<Pose> landmark_starts(const MeasureInput& input);

/// Where the search for the seat begins: where the arch stands and the landmark_starts; without these places around
/// where it stands.
std::vector<Pose> settle_starts(const MeasureInput& input);

}  // namespace intercusp

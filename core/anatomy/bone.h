// Simple closed bone bodies around the arches, with their landmarks.
#pragma once

#include <string>
#include <vector>

#include "anatomy/sample_jaws.h"

namespace intercusp {

/// Adds `upper_bone`, `lower_bone` and `cranium` to the bodies and the points of the skull to the landmarks.
/// Proportions after the worked cephalogram of average form that the checks use; an overjet below the usual sets the
/// upper jaw back against skull and mandible, one above it sets the body of the mandible back.
void add_bone(SampleJaws& jaws);

}  // namespace intercusp

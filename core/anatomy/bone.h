// The bones and roots of sample jaws, with their points.
#pragma once

#include "anatomy/sample_jaws.h"
#include "anatomy/seating.h"

namespace intercusp {

/// Adds `upper_bone` (the upper jaw and the base of the skull, one bone until it is cut), `lower_bone`, `upper_roots`
/// and `lower_roots` to the bodies and the points of the skull to the landmarks. The roots are bodies of their own:
/// cuts and screws are measured against them, while a bone from a CT is solid where they stand, and so is this one.
void add_bone(SampleJaws& jaws, const SeatedArches& arches);

/// The points of the skull alone, as add_bone gives them, without making surfaces. Some 50 ms.
LandmarkSet bone_landmarks(const JawRecipe& recipe, const SeatedArches& arches);

}  // namespace intercusp

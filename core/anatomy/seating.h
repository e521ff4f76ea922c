// Stands the upper teeth in their arch and seats the lower teeth against them.
#pragma once

#include "anatomy/arch_field.h"
#include "anatomy/arch_layout.h"
#include "anatomy/sample_jaws.h"

namespace intercusp {

/// Both arches in the patient frame: origin midway between the edges of 11 and 21, the tips of 16 and 26 at z = 0.
struct SeatedArches {
  ArchTeeth upper, lower;
  ArchField upper_field, lower_field;
};

/// O(1), some 0.1 s. Error when the recipe asks for arches that do not fit together.
Result<SeatedArches> seat_arches(const JawRecipe& recipe);

/// The landmarks of an arch as they lie on its final surface; patient frame. Contact points are those of neighbouring
/// teeth seen from the chewing side: the lowest visible point between them.
LandmarkSet arch_landmarks(const ArchTeeth& teeth, const ArchField& field);

}  // namespace intercusp

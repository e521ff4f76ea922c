// Lateral movement of the lower jaw.
#pragma once

#include "motion/hinge.h"

namespace intercusp {

/// Setting of the lateral condylar path for a horizontal condylar inclination, degrees: L = H / 8 + 12 (Hanau 1930).
double hanau_lateral_deg(double horizontal_deg);

/// The lower jaw turned to one side about the upright axis through the working condyle, which stays: the condyle of the
/// other side comes `advance_mm` forward. `axis` runs through both condyles and is `between_mm` long. Zero advance or a
/// longer one than the axis: no movement.
Pose laterotrusion(const HingeAxis& axis, double between_mm, bool to_right, double advance_mm);

}  // namespace intercusp

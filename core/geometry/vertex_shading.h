#pragma once

#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// A cavity term per vertex for drawing, 0 (deep groove) to 1 (ridge or open), 0.5 on the flat: grooves and the seams
/// between teeth read dark without any light being traced. Mean curvature from the umbrella of neighbours against the
/// normal, made scale-free by a length in mm and spread over the mesh at three scales (1, 4 and 16 rounds of
/// averaging with the neighbours). Not a measurement. O(n).
std::vector<float> cavity_shading(const Surface& surface);

}  // namespace intercusp

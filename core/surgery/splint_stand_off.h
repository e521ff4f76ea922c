// Where the enamel has more room in its imprint than was asked for.
#pragma once

#include "surgery/splint_solid.h"

namespace intercusp {

struct StandOff {
  double most_mm = 0;      ///< beyond the clearance
  std::size_t points = 0;  ///< of the enamel that have over 0.02 mm too much
};

/// Asks at the middles of the arches' triangles, where a ball of the clearance lies on the enamel free of undercuts and
/// of the other arch, well within an imprint. O(n log n), on two threads.
StandOff find_stand_off(const SplintSolid& solid, const SplintParts& parts, double clearance_mm);

}  // namespace intercusp

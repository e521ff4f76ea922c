// A generated case, the same to the last bit from every build of the program.
#pragma once

#include "casebook/case.h"

namespace intercusp {

/// Puts generated vertices on multiples of 2^-16 mm and generated landmarks on multiples of 2^-22 mm (common frame).
/// Builds for different machines compute them to some 1e-14 mm alike, not to the last bit, and a digest that is agreed
/// to must not depend on who looks at it. O(n).
void put_on_common_grid(Mesh& mesh);
void put_on_common_grid(LandmarkSet& landmarks);

}  // namespace intercusp

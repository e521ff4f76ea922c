#pragma once

#include "geometry/mesh.h"

namespace intercusp {

/// Keeps the connected part with the most triangles and drops the rest with its vertices; the first of equals. Order of
/// triangles and vertices stays. O(n).
void keep_largest_part(Mesh& mesh);

}  // namespace intercusp

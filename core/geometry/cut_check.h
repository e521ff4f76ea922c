#pragma once

#include "geometry/mesh.h"

namespace intercusp {

/// Whether two triangles at vertices from `first_new` on cross each other, or touch where they share no corner: what
/// rounding the corners of a cut to float can do to thin triangles. Exact. O(k^1.5) for k such triangles, typically.
bool new_triangles_cross(const Mesh& mesh, std::uint32_t first_new);

}  // namespace intercusp

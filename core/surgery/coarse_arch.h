// An arch with fewer triangles, for what needs no more than its form.
#pragma once

#include "geometry/mesh.h"

namespace intercusp {

/// The vertices of every cell of a grid become one at their mean; triangles that keep three corners remain. Within a
/// cell's size of the mesh, mostly within a tenth of it. Where two sheets pass through one cell they are joined: for
/// looking, never for what is printed. O(vertices).
Mesh coarse_arch(const Mesh& mesh, double cell_mm);

}  // namespace intercusp

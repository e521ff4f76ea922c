// One triangle divided where its edges have a vertex in their middle.
#pragma once

#include <array>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Appends two, three or four triangles for one, by which of its edges (k: corner k to k + 1) have a vertex in their
/// middle, 0: none.
void divide_triangle(const Triangle& t, const std::array<std::uint32_t, 3>& middle, std::vector<Triangle>& out);

}  // namespace intercusp
